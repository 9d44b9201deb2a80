#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Draw what `validation_run --curves FOLDER` wrote: sh validation/figures.sh FOLDER TO
set -eu
from=$1
mkdir -p "$2"
to=$(cd "$2" && pwd)
command -v gnuplot >/dev/null || {
    echo "the figures need gnuplot (Debian: gnuplot-nox)" >&2
    exit 1
}

# draw NAME < COMMANDS
draw() {
    {
        echo "set terminal svg size 720,440 dynamic font 'Helvetica,13' background '#ffffff'"
        echo "set output '$to/$1.svg'"
        echo "set grid lc rgb '#dddddd' lt 1; set border 3; set tics nomirror; set key top left"
        echo "set linetype 1 lc rgb '#0072b2' lw 2; set linetype 2 lc rgb '#d55e00' lw 2"
        echo "set linetype 3 lc rgb '#009e73' lw 2; set linetype 4 lc rgb '#cc79a7' lw 2"
        echo "set pointsize 0.8"
        cat
    } | (cd "$from" && gnuplot)
}

draw tracer <<'END'
set xlabel 'pore volumes'; set ylabel 'step response at the exit'; set yrange [-0.02:1.05]
set key bottom right
plot 'tracer.brenner_pe_4.points' u 1:3 w l lt 1 t 'Brenner, Pe 4', '' u 1:2 w p lt 1 pt 7 notitle, \
     'tracer.brenner_pe_40.points' u 1:3 w l lt 2 t 'Pe 40', '' u 1:2 w p lt 2 pt 7 notitle, \
     'tracer.brenner_pe_160.points' u 1:3 w l lt 3 t 'Pe 160', '' u 1:2 w p lt 3 pt 7 notitle, \
     'tracer.ogata_banks_pe_4.points' u 1:3 w l lt 4 dt 2 t 'endless bed (Ogata and Banks), Pe 4'
END

draw linear_isotherm <<'END'
set xlabel 'throughput'; set ylabel 'exit over feed'; set yrange [-0.02:1.05]
set key bottom right
plot 'linear_isotherm.rosen_nu_0_x_5.points' u 1:3 w l lt 1 t 'Rosen, X 5', '' u 1:2 w p lt 1 pt 7 notitle, \
     'linear_isotherm.rosen_nu_0_x_20.points' u 1:3 w l lt 2 t 'X 20', '' u 1:2 w p lt 2 pt 7 notitle, \
     'linear_isotherm.rosen_nu_0.1_x_5.points' u 1:3 w l lt 3 t 'X 5, film nu 0.1', '' u 1:2 w p lt 3 pt 7 notitle, \
     'linear_isotherm.rosen_nu_0.1_x_20.points' u 1:3 w l lt 4 t 'X 20, film nu 0.1', '' u 1:2 w p lt 4 pt 7 notitle
END

draw thomas <<'END'
set xlabel 'throughput'; set ylabel 'exit over feed'; set yrange [-0.02:1.05]
plot 'thomas.thomas_r_0.25.points' u 1:3 w l lt 1 t 'Thomas, r 0.25', '' u 1:2 w p lt 1 pt 7 notitle, \
     'thomas.thomas_r_0.5.points' u 1:3 w l lt 2 t 'r 0.5', '' u 1:2 w p lt 2 pt 7 notitle, \
     'thomas.thomas_r_1.points' u 1:3 w l lt 3 t 'r 1', '' u 1:2 w p lt 3 pt 7 notitle, \
     'thomas.thomas_r_2.points' u 1:3 w l lt 4 t 'r 2', '' u 1:2 w p lt 4 pt 7 notitle
END

draw bead <<'END'
set xlabel 'D t/R^2 of the leaving ion'; set ylabel 'uptake'; set logscale x
plot 'bead.na_by_ca_5.points' u 1:3 w l lt 1 t 'Ca enters, Na leaves', '' u 1:2 w p lt 1 pt 7 notitle, \
     'bead.ca_by_na_5.points' u 1:3 w l lt 2 t 'Na enters, Ca leaves', '' u 1:2 w p lt 2 pt 7 notitle
END

draw equilibrium_theory <<'END'
set xlabel 'bed volumes'; set ylabel 'calcium over normality at the exit'
set logscale x; set xrange [0.7:20]; set yrange [0:1]; set key top right
set xtics (0.7, 1, 2, 5, 10, 20)
plot 'equilibrium_theory.wave_0.5_N.points' u 3:1 w l lt 1 t 'theory, 0.5 N', '' u 2:1 w p lt 1 pt 7 notitle, \
     'equilibrium_theory.wave_1_N.points' u 3:1 w l lt 2 t '1 N', '' u 2:1 w p lt 2 pt 7 notitle, \
     'equilibrium_theory.wave_2_N.points' u 3:1 w l lt 3 t '2 N', '' u 2:1 w p lt 3 pt 7 notitle, \
     'equilibrium_theory.wave_4_N.points' u 3:1 w l lt 4 t '4 N', '' u 2:1 w p lt 4 pt 7 notitle
END

draw usgs_example_11 <<'END'
set xlabel 'pore volumes'; set ylabel 'mmol per kg of water'; set yrange [-0.02:1.3]
set key outside right
plot 'usgs_example_11.chloride_printed.points' u 1:3 w l lt 3 t 'Cl, printed', '' u 1:2 w p lt 3 pt 7 notitle, \
     'usgs_example_11.sodium.points' u 1:3 w l lt 1 t 'Na', '' u 1:2 w p lt 1 pt 7 notitle, \
     'usgs_example_11.potassium.points' u 1:3 w l lt 2 t 'K', '' u 1:2 w p lt 2 pt 7 notitle, \
     'usgs_example_11.calcium.points' u 1:3 w l lt 4 t 'Ca', '' u 1:2 w p lt 4 pt 7 notitle
END

draw orders <<'END'
set xlabel 'cells'; set ylabel 'error'; set logscale xy; set xrange [20:500]; set format y '10^{%T}'
set key outside right; set xtics (25, 50, 100, 200, 400)
plot 'manufactured.space_down.grids' u 1:2 w lp lt 1 pt 7 t 'manufactured solution', \
     'thomas.thomas_r_0.25.grids' u 1:2 w lp lt 2 pt 7 t 'Thomas, r 0.25', \
     'tracer.brenner_pe_160.grids' u 1:2 w lp lt 3 pt 7 t 'Brenner, Pe 160', \
     'manufactured.square_front.grids' u 1:2 w lp lt 4 pt 7 t 'square front', \
     2e-2*(x/50)**-2 w l lc rgb '#888888' dt 2 t 'order 2', \
     4e-2*(x/50)**-0.6667 w l lc rgb '#888888' dt 3 t 'order 2/3'
END

draw leakage_floor <<'END'
set xlabel 'bed volumes of service'; set ylabel 'effluent hardness, meq/L'; set logscale y
set format y '10^{%T}'; set yrange [1e-4:1]
plot 'leakage_floor.co_current_course.points' u 1:3 w l lt 1 t 'co-current, tolerances a tenth', \
     '' u 1:2 w p lt 1 pt 7 ps 0.4 t 'co-current, default', \
     'leakage_floor.counter_current_course.points' u 1:3 w l lt 2 t 'counter-current, tolerances a tenth', \
     '' u 1:2 w p lt 2 pt 7 ps 0.4 t 'counter-current, default'
END
