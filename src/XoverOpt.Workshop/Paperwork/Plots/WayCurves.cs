namespace XoverOpt.Workshop.Paperwork;

/// <summary>One way's curves, a number a frequency of <see cref="BuildCurves.Hz"/>.</summary>
/// <param name="Name">The way.</param>
/// <param name="ShareDb">Its share of the eardrum pressure, dB re 20 µPa.</param>
/// <param name="DelayUs">Its delay beyond its own minimum phase, µs, where it is within 10 dB of the whole and in the target band; elsewhere not a number.</param>
/// <param name="ArrivalUs">Its arrival, as the figures reckon it, µs; not a number where it is nowhere within 10 dB of the whole.</param>
/// <param name="GroupDelayMs">Group delay of its share, ms.</param>
public sealed record WayCurves(string Name, double[] ShareDb, double[] DelayUs, double ArrivalUs, double[] GroupDelayMs);
