namespace XoverOpt.Workshop;

/// <summary>One column of a measured curve: its name bears the unit.</summary>
/// <param name="Name">Heading.</param>
/// <param name="Range">What its numbers may be.</param>
internal sealed record MeasuredColumn(string Name, NumberRange Range)
{
    public const string Hz = "hz";
    public const string Db = "db";
    public const string SplDb = "spl_db";
    public const string PhaseDeg = "phase_deg";
    public const string ImpedanceOhm = "impedance_ohm";
    public const string ImpedancePhaseDeg = "impedance_phase_deg";

    /// <summary>Every column a file can have.</summary>
    public static readonly IReadOnlyList<MeasuredColumn> All =
    [
        new(Hz, new(1, 100_000, "Hz")),
        new(Db, new(-300, 300, "dB")),
        new(SplDb, new(-60, 200, "dB re 20 µPa")),
        new(PhaseDeg, new(-1e6, 1e6, "°")),
        new(ImpedanceOhm, NumberRange.Positive(1e6, "Ω")),
        new(ImpedancePhaseDeg, new(-1e6, 1e6, "°")),
    ];

    /// <summary>Names in words.</summary>
    public static string Names => string.Join(", ", All.Select(column => column.Name));

    /// <summary>The likely fix for a heading that is none of them: another unit, or a slip of the finger.</summary>
    public static string? Hint(string heading)
    {
        foreach ((string known, string fix) in OtherUnits)
        {
            if (heading == known)
            {
                return fix;
            }
        }

        return Nearest.Hint(heading, All.Select(column => column.Name));
    }

    private static readonly (string Heading, string Fix)[] OtherUnits =
    [
        ("khz", "Multiply by 1000 and name the column hz."),
        ("rad_s", "Divide by 2π and name the column hz."),
        ("frequency", "Name the column hz, and see that it is in Hz."),
        ("freq", "Name the column hz, and see that it is in Hz."),
        ("phase_rad", "Multiply by 180/π and name the column phase_deg."),
        ("phase", "Name the column phase_deg, and see that it is in degrees."),
        ("spl", "Name the column spl_db, and see that it is in dB re 20 µPa."),
        ("spl_pa", "Take 20·log10(p / 20 µPa) and name the column spl_db."),
        ("pascal", "Take 20·log10(p / 20 µPa) and name the column spl_db."),
        ("pa", "Take 20·log10(p / 20 µPa) and name the column spl_db."),
        ("mv", "Take 20·log10 and name the column db, or divide by the microphone's mV/Pa and name the level spl_db."),
        ("mpa", "Take 20·log10(p / 20 µPa) and name the column spl_db."),
        ("impedance", "Name the column impedance_ohm, and see that it is in Ω."),
        ("impedance_kohm", "Multiply by 1000 and name the column impedance_ohm."),
        ("impedance_db", "Take 10^(dB/20) and name the column impedance_ohm."),
        ("impedance_phase_rad", "Multiply by 180/π and name the column impedance_phase_deg."),
        ("impedance_phase", "Name the column impedance_phase_deg, and see that it is in degrees."),
    ];
}
