# SPDX-License-Identifier: GPL-3.0-or-later
# Completion of sidelong-calc and sidelong for fish: what bash's offers.

set -g __sidelong_bash (status dirname)/../../bash-completion/completions/sidelong-calc
for program in sidelong-calc sidelong
    complete -c $program -f -a '(bash $__sidelong_bash (commandline -opc) "$(commandline -ct)" 2>/dev/null)'
end
