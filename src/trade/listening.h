#pragma once

/// Loudspeakers about a listener. The ranges of ITU-R BS.2051 stand in types/loudspeaker_layouts.h.
namespace roomloom::trade {

/// An angle in degrees brought to -180 .. 180.
double wrapped_deg(double degrees);

/// How far an azimuth lies outside low .. high, degrees; the range may pass through 180.
double outside_azimuth_deg(double azimuth, double low, double high);
/// The same of an elevation.
double outside_elevation_deg(double elevation, double low, double high);

/// Loudspeakers at ear height: 1.2 m. Source: BS.775-3 (scribd 392233939).
constexpr double kEarHeight_m = 1.2;
/// A pair's mirror images differ by no more. Common practice, no source.
constexpr double kPairAzimuth_deg = 3, kPairDistance_m = 0.10;
/// Distances that differ by more want a delay set in the processor. Common practice, no source.
constexpr double kDistanceSpread = 0.15;
/// Head from the wall behind or beside it. From memory: BS.1116 keeps loudspeakers a metre from
/// walls; half of it for a head is common practice.
constexpr double kListenerToWall_m = 0.5;
/// Angle slack of a check: what placing by hand cannot better. Common practice, no source.
constexpr double kAngleSlack_deg = 0.5;

}  // namespace roomloom::trade
