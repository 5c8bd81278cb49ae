namespace XoverOpt.Search;

/// <summary>The figures of a build, in the units people read.</summary>
public sealed record BuildFigures
{
    /// <summary>Weighted RMS magnitude error on log frequency, dB.</summary>
    public required double MagnitudeRmsDb { get; init; }

    /// <summary>Largest magnitude error in the target band, dB.</summary>
    public required double MagnitudeMaxDb { get; init; }

    /// <summary>RMS of the phase figure over the phase band, degrees.</summary>
    public required double PhaseRmsDeg { get; init; }

    /// <summary>Largest deviation of the phase figure, degrees.</summary>
    public required double PhaseMaxDeg { get; init; }

    /// <summary>Latest minus earliest arrival between ways, µs.</summary>
    public required double ArrivalSpreadUs { get; init; }

    /// <summary>Arrival of each way, µs, in the order of the ways.</summary>
    public required IReadOnlyList<double> ArrivalUs { get; init; }

    /// <summary>Worst summing loss where ways overlap, dB.</summary>
    public required double SummingLossDb { get; init; }

    /// <summary>Eardrum SPL at 100 mV RMS at the socket and 500 Hz, dB re 20 µPa.</summary>
    public required double SplAt100mV { get; init; }

    /// <summary>The same at 1 kHz.</summary>
    public required double SplAt100mV1kHz { get; init; }

    /// <summary>Eardrum SPL for 1 mW into the socket at 500 Hz, dB re 20 µPa.</summary>
    public required double SplAt1mW { get; init; }

    /// <summary>The same at 1 kHz.</summary>
    public required double SplAt1mW1kHz { get; init; }

    /// <summary>Lowest magnitude of the socket impedance in the target band, Ω.</summary>
    public required double ImpedanceMinOhm { get; init; }

    /// <summary>Magnitude of the socket impedance at 1 kHz, Ω.</summary>
    public required double Impedance1kHzOhm { get; init; }

    /// <summary>Largest change of response shape in the target band when the source goes from 0 to 10 Ω, dB.</summary>
    public required double SourceShiftDb { get; init; }

    /// <summary>Eardrum SPL at the first limit, dB re 20 µPa, at the job's peak frequencies; empty where no limits are stated.</summary>
    public required IReadOnlyList<PeakHeadroom> Headroom { get; init; }

    /// <summary>Cost of the parts of one earpiece; null where a price is missing.</summary>
    public required decimal? PartsCost { get; init; }

    /// <summary>Parts of one earpiece without a price.</summary>
    public required int UnpricedParts { get; init; }

    /// <summary>Receivers in one earpiece.</summary>
    public required int Receivers { get; init; }

    /// <summary>All parts of one earpiece: receivers, network parts, dampers and tubes.</summary>
    public required int Parts { get; init; }

    /// <summary>Sum of the receivers' boxes, mm³; null where a size is missing.</summary>
    public required double? BodyVolumeMm3 { get; init; }
}

/// <summary>Eardrum SPL, dB re 20 µPa, at which the first receiver meets a limit at a frequency, and which way's and which limit.</summary>
public sealed record PeakHeadroom(double Hz, double Db, string Way, string Limit, double SocketVolt);
