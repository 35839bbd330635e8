/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The toolkit's headers, read once for all of this layer (not with -Db_pch=false, as --full of tests/all.sh builds it).
 */
#include <gtk/gtk.h>
