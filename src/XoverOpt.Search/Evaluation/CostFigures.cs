namespace XoverOpt.Search;

/// <summary>The cost of a candidate and the figures it is made of.</summary>
/// <param name="Cost">The cost by its parts.</param>
/// <param name="MagnitudeRmsDb">RMS magnitude error, dB.</param>
/// <param name="MagnitudeMaxDb">Largest magnitude error, dB.</param>
/// <param name="PhaseRms">RMS phase deviation, radians.</param>
/// <param name="PhaseMax">Largest phase deviation, radians.</param>
/// <param name="ArrivalSpread">Latest minus earliest arrival, s.</param>
/// <param name="SummingLossDb">Worst summing loss in overlaps, dB.</param>
/// <param name="SplAt100mV">Eardrum SPL at 100 mV at the socket and 500 Hz, dB.</param>
/// <param name="ImpedanceMin">Lowest socket impedance in the target band, Ω.</param>
/// <param name="PeakPenalty">The part of the penalty that missing peak SPL makes, dB².</param>
public readonly record struct CostFigures(
    CostBreakdown Cost,
    double MagnitudeRmsDb,
    double MagnitudeMaxDb,
    double PhaseRms,
    double PhaseMax,
    double ArrivalSpread,
    double SummingLossDb,
    double SplAt100mV,
    double ImpedanceMin,
    double PeakPenalty);
