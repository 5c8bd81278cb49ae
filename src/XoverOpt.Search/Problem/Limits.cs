namespace XoverOpt.Search;

/// <summary>Limits on the whole earpiece; null where there is none.</summary>
public sealed record Limits
{
    /// <summary>Most receivers in one earpiece.</summary>
    public int? MaxReceivers { get; init; }

    /// <summary>Lowest magnitude of the socket impedance over the target band, Ω.</summary>
    public double? MinImpedance { get; init; }

    /// <summary>Most that the parts of one earpiece may cost, in the inventory's currency.</summary>
    public decimal? MaxPartsCost { get; init; }

    /// <summary>Least eardrum SPL at 100 mV at the socket and 500 Hz, dB re 20 µPa.</summary>
    public double? MinSplAt100mV { get; init; }

    /// <summary>Least eardrum SPL that must be reachable before any receiver meets a limit.</summary>
    public IReadOnlyList<PeakSpl> MinPeakSpl { get; init; } = [];

    /// <summary>Room for the receivers' bodies, m³ (sum of their boxes).</summary>
    public double? ShellVolume { get; init; }

    /// <summary>How many sets the stock must serve, where stock decides.</summary>
    public int Sets { get; init; } = 1;

    /// <summary>Earpieces in a set: 2 for a left and a right.</summary>
    public int EarpiecesPerSet { get; init; } = 2;

    /// <summary>Earpieces the stock must serve.</summary>
    public int Earpieces => Sets * EarpiecesPerSet;

    /// <summary>Use only what is in stock in the needed number.</summary>
    public bool StockOnly { get; init; }
}

/// <summary>An eardrum SPL, dB re 20 µPa, wanted at a frequency, Hz.</summary>
public sealed record PeakSpl(double Hz, double Db);
