using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>How an ear departs from the job's. Every number is a choice to compare builds by: common practice, no source.</summary>
public sealed record EarChange
{
    /// <summary>How much deeper the tip sits, m; negative for less deep.</summary>
    public double Depth { get; init; }

    /// <summary>Volume of the whole ear over that of the job's.</summary>
    public double SizeRatio { get; init; } = 1;

    /// <summary>Bore of the canal from the tip to the first side branch over that of the job's: what a jaw moves.</summary>
    public double CanalBoreRatio { get; init; } = 1;

    /// <summary>Bore of a round leak past the seal, m; 0 for none. Its length is <see cref="LeakLength"/>.</summary>
    public double LeakBore { get; init; }

    /// <summary>Air beside the tip where the canal stands off it, m³.</summary>
    public double AddedVolume { get; init; }

    /// <summary>Another element set of the simulator; null for the job's.</summary>
    public EarSimulator? Simulator { get; init; }

    /// <summary>Length of a leak: that of a seal, m.</summary>
    public const double LeakLength = 10e-3;

    /// <summary>
    /// The ear so changed. A tip goes no deeper than the model of the ear has room for (<see cref="Ear.Room"/>); a leak comes in place of
    /// the job's own where it is wider.
    /// </summary>
    public Ear Of(Ear ear)
    {
        Ear whole = ear with { Simulator = Simulator ?? ear.Simulator };
        Ear seated = whole.Deeper(Math.Min(Depth, whole.Room));
        Leak? leak = LeakBore > 0 ? Leak.Hole(LeakLength, LeakBore, ear.Air) : null;
        return seated.WithCanalBore(CanalBoreRatio).OfSize(SizeRatio) with
        {
            AddedVolume = ear.AddedVolume + AddedVolume,
            Leak = leak is not null && !(ear.Leak?.Resistance < leak.Resistance) ? leak : ear.Leak,
        };
    }
}
