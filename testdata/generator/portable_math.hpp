// exp, log, sine and cosine from exact operations only (+ - * / floor, frexp, ldexp): the last digits of the C
// library's own differ between machines. Relative error below 1e-12, ample for a landscape.
#pragma once

namespace demo {

double portable_exp(double x);
double portable_log(double x);         // x > 0
double sine_of_turns(double turns);    // sin(2 pi turns)
double cosine_of_turns(double turns);  // cos(2 pi turns)

double smoothstep(double low, double high, double x);  // 0 below low, 1 above high
double rounded_to(double value, double step);          // nearest multiple, halves up; 1 / step or step is whole

}  // namespace demo
