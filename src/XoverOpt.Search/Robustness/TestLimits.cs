namespace XoverOpt.Search;

/// <summary>What a built unit should measure at one frequency.</summary>
/// <param name="Hz">Frequency, Hz.</param>
/// <param name="ExpectedDb">Eardrum SPL of the build as drawn, dB re 20 µPa, at the job's drive.</param>
/// <param name="LowDb">Lowest SPL that passes.</param>
/// <param name="HighDb">Highest SPL that passes.</param>
/// <param name="ExpectedOhm">Magnitude of the socket impedance of the build as drawn, Ω.</param>
/// <param name="LowOhm">Lowest impedance that passes.</param>
/// <param name="HighOhm">Highest impedance that passes.</param>
public sealed record TestLimit(double Hz, double ExpectedDb, double LowDb, double HighDb, double ExpectedOhm, double LowOhm, double HighOhm);

/// <summary>Limits for the test bench: what the spread of parts explains, widened by what the measurement may be off.</summary>
/// <param name="Rows">One a frequency.</param>
/// <param name="Spread">The study they come from.</param>
/// <param name="AllowanceDb">What the level is widened by at either end, dB.</param>
/// <param name="AllowancePercent">What the impedance is widened by at either end, %.</param>
public sealed record TestLimits(IReadOnlyList<TestLimit> Rows, SpreadResult Spread, double AllowanceDb, double AllowancePercent)
{
    /// <summary>Allowance for coupler and microphone, dB: common practice, no source.</summary>
    public const double UsualAllowanceDb = 0.5;

    /// <summary>Allowance for the impedance meter, %: three of the deviations that an inspection takes a bench to err by (<see cref="BenchNoise"/>).</summary>
    public const double UsualAllowancePercent = 6;

    /// <summary>Share of units in order whose level, as it is, lies inside its limits at every frequency at once.</summary>
    public SpreadEstimate Inside => Spread.Inside(AllowanceDb, null);

    /// <summary>The same for level and impedance.</summary>
    public SpreadEstimate InsideBoth => Spread.Inside(AllowanceDb, AllowancePercent);

    /// <summary>Limits from a study.</summary>
    public static TestLimits Of(SpreadResult spread, double allowanceDb = UsualAllowanceDb, double allowancePercent = UsualAllowancePercent) => new(
        [
            .. spread.Points.Select(point => new TestLimit(
                point.Hz,
                point.NominalDb,
                point.LowDb.Value - allowanceDb,
                point.HighDb.Value + allowanceDb,
                point.NominalOhm,
                point.LowOhm.Value * (1 - (allowancePercent / 100)),
                point.HighOhm.Value * (1 + (allowancePercent / 100)))),
        ],
        spread,
        allowanceDb,
        allowancePercent);
}
