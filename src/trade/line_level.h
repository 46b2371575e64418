#pragma once

namespace roomloom::trade {

/// Where a source's resistance and a cable's capacitance take 3 dB: 1 / (2 pi R C).
/// Source: mh-audio.nl/Calculate-cable.asp.
double corner_hz(double source_ohm, double capacitance_f);

/// Loss at a frequency, dB: 10 log10(1 + (f / corner)^2).
double roll_off_db(double source_ohm, double capacitance_f, double hz);

/// Greatest capacitance for that loss at that frequency.
double greatest_capacitance_f(double source_ohm, double loss_db, double hz);

/// Output resistance taken where a job states none. Common practice, no source.
constexpr double kLineSourceOhm = 1000;
/// What may be lost at the top of hearing. Common practice, no source.
constexpr double kRollOffDb = 1, kRollOffHz = 20000;

}  // namespace roomloom::trade
