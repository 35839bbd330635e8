; SPDX-License-Identifier: GPL-3.0-or-later
; Plucked strings by Csound, a general-purpose synthesis language: what listening is judged by from outside.
sr = 48000
ksmps = 16
nchnls = 1
0dbfs = 1

; A stiff string as a sum of partials: f_1, B, seconds to fall by 60 dB, amplitude, where it is plucked.
instr 1
  ibase = p4 / sqrt(1 + p5)
  index = 1
  while index <= 40 do
    ifrequency = index * ibase * sqrt(1 + p5 * index * index)
    if ifrequency < 10000 then
      iamplitude = p7 * sin(index * $M_PI * p8) / index
      idecay = 6.907755 / p6 * (1 + 2e-8 * ifrequency * ifrequency)
      event_i "i", 2, 0, p3, iamplitude, ifrequency, idecay, index * 0.618034
    endif
    index += 1
  od
endin

; One partial. poscil keeps its phase as a double; oscili's steps of sr / 2^24 would be 0.06 cent at 82 Hz.
instr 2
  kfall expon 1, p3, exp(-p6 * p3)
  kedge linseg 0, 0.002, 1, p3 - 0.022, 1, 0.02, 0
  out poscil(p4 * kfall * kedge, p5, -1, frac(p7))
endin

; The room: noise and mains.
instr 3
  out rand(p4 * sqrt(3), 0.5, 1) + poscil(p5, 50.01) + poscil(p5 / 3, 100.02) + poscil(p5 / 4, 200.04)
endin

; A string as a loop that is averaged on its way round (Karplus and Strong, Comput. Music J. 7(2), 43 (1983)).
instr 4
  kedge linseg 0, 0.002, 1, p3 - 0.022, 1, 0.02, 0
  out pluck(p4, p5, p5, 0, 1) * kedge
endin
