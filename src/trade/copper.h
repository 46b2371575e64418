#pragma once

/// Formulas and tables of the trade: pure functions over plain numbers, SI unless a name says
/// otherwise. Each names its source; "from memory" and "common practice, no source" are said.
namespace roomloom::trade {

/// Resistivity of annealed copper at 20 degrees Celsius (100 % IACS), ohm metres.
/// Source: IEC 60228 page of tnlab.org.
constexpr double kCopperOhmMetres = 1.7241e-8;
/// Change of copper's resistance per kelvin, of its value at 20 degrees. From memory.
constexpr double kCopperPerKelvin = 0.00393;

/// Diameter of a solid wire of an American gauge; 0 = 1/0, -3 = 4/0.
/// Source: ASTM B258-02: 0.127 mm x 92^((36 - n) / 39); number 36 = 0.0050 in, 4/0 = 0.4600 in.
double awg_diameter_m(double gauge);
double awg_area_m2(double gauge);

/// Direct-current resistance of one solid conductor at 20 degrees, ohm per metre.
double copper_ohm_per_m(double area_m2);

/// A copper resistance at another temperature, from its value at 20 degrees.
double copper_at(double at_20, double celsius);

}  // namespace roomloom::trade
