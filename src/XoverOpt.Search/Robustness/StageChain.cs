namespace XoverOpt.Search;

/// <summary>
/// The chain on stage from the desk to the earpiece, all levels RMS of a sine; 0 dBu is 0.7746 V. Every default is common practice, no
/// source: read the papers of what is really there.
/// </summary>
public sealed record StageChain
{
    private const double VoltAt0Dbu = 0.774596669241483; // √(1 mW · 600 Ω)

    /// <summary>The console's highest output, dBu.</summary>
    public double ConsoleMaxDbu { get; init; } = 22;

    /// <summary>The level at the transmitter's input that fills the radio link, dBu, at the gain it is set to.</summary>
    public double TransmitterFullDbu { get; init; } = 18;

    /// <summary>The body pack's highest output, V, open circuit.</summary>
    public double PackMaxVolt { get; init; } = 1;

    /// <summary>Its output resistance, Ω.</summary>
    public required double PackOhm { get; init; }

    /// <summary>The lowest load it is made for, Ω: into less it gives no more current than into this.</summary>
    public double PackMinLoadOhm { get; init; } = 16;

    /// <summary>The volume knob of the pack, dB; at 0 a full link just makes the highest output.</summary>
    public double PackVolumeDb { get; init; }

    /// <summary>Open-circuit voltage of the pack for a level at the desk.</summary>
    public double PackVolt(double deskDbu) => PackMaxVolt * Math.Pow(10, (deskDbu - TransmitterFullDbu + PackVolumeDb) / 20);

    /// <summary>The level at the desk that makes an open-circuit voltage of the pack, dBu.</summary>
    public double DeskDbu(double packVolt) => TransmitterFullDbu - PackVolumeDb + (20 * Math.Log10(packVolt / PackMaxVolt));

    /// <summary>Highest output current of the pack, A.</summary>
    public double PackMaxAmpere => PackMaxVolt / (PackOhm + PackMinLoadOhm);

    /// <summary>dBu as dBV.</summary>
    public static double Dbv(double dbu) => dbu + (20 * Math.Log10(VoltAt0Dbu));
}
