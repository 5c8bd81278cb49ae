namespace XoverOpt.Search;

/// <summary>How a build holds up when its parts vary. Every figure from samples has its standard error.</summary>
public sealed record SpreadResult
{
    /// <summary>The build's canonical key.</summary>
    public required string Key { get; init; }

    /// <summary>What was assumed.</summary>
    public required SpreadSettings Settings { get; init; }

    /// <summary>What varied.</summary>
    public required IReadOnlyList<SpreadPart> Parts { get; init; }

    /// <summary>Parts of which nothing is stated, and what was assumed; see <see cref="PartSpread.Assumed"/>.</summary>
    public required IReadOnlyList<string> Assumed { get; init; }

    /// <summary>Share of units that keep every limit that varies.</summary>
    public required SpreadEstimate Yield { get; init; }

    /// <summary>Share of units that keep each limit, in words.</summary>
    public required IReadOnlyList<(string Limit, SpreadEstimate Yield)> Limits { get; init; }

    /// <summary>Share of left and right pairs, drawn at random, whose levels differ by no more than the side limit at every frequency of the target band.</summary>
    public required SpreadEstimate SideYield { get; init; }

    /// <summary>Share of pairs within the side limit everywhere in the voice band.</summary>
    public required SpreadEstimate SideVoiceYield { get; init; }

    /// <summary>Share of pairs whose mean level over the level band differs by no more than the side limit.</summary>
    public required SpreadEstimate SideBalanceYield { get; init; }

    /// <summary>Largest level difference in the voice band, dB: median and 95th percentile of pairs.</summary>
    public required (SpreadEstimate Median, SpreadEstimate High) SideVoiceDb { get; init; }

    /// <summary>Largest phase difference in the voice band, degrees: median and 95th percentile of pairs.</summary>
    public required (SpreadEstimate Median, SpreadEstimate High) SideVoiceDeg { get; init; }

    /// <summary>Cost as built by exact parts.</summary>
    public required double NominalCost { get; init; }

    /// <summary>Mean cost of units.</summary>
    public required SpreadEstimate Cost { get; init; }

    /// <summary>Mean RMS magnitude error, dB.</summary>
    public required SpreadEstimate MagnitudeRmsDb { get; init; }

    /// <summary>Largest magnitude error of units, dB: median and 95th percentile.</summary>
    public required (SpreadEstimate Median, SpreadEstimate High) MagnitudeMaxDb { get; init; }

    /// <summary>Eardrum SPL at 100 mV and 500 Hz, dB: mean over units.</summary>
    public required SpreadEstimate SplAt100mV { get; init; }

    /// <summary>Its standard deviation, dB.</summary>
    public required SpreadEstimate SplDeviationDb { get; init; }

    /// <summary>By frequency.</summary>
    public required IReadOnlyList<SpreadPoint> Points { get; init; }

    /// <summary>Root of the mean variance of the response's shape over the target band, dB.</summary>
    public required double ShapeDeviationDb { get; init; }

    /// <summary>Which parts drive it, largest first.</summary>
    public required IReadOnlyList<VarianceShare> Shares { get; init; }

    /// <summary>Sum of the shares; what is missing to 1 is what parts do together or in a curve.</summary>
    public required SpreadEstimate ShareSum { get; init; }

    /// <summary>Whether each unit keeps every limit: units of the same number drew alike, so builds compare pair by pair.</summary>
    public required IReadOnlyList<bool> Keeps { get; init; }

    /// <summary>The most that each unit's level lies beyond low and high at any frequency, dB; at most 0 for a unit that lies between them everywhere.</summary>
    public required IReadOnlyList<double> BeyondDb { get; init; }

    /// <summary>The same of the impedance, % of the end it lies beyond.</summary>
    public required IReadOnlyList<double> BeyondPercent { get; init; }

    /// <summary>Share of units between low and high at every frequency at once, both widened.</summary>
    /// <param name="db">What the level's ends are widened by, dB.</param>
    /// <param name="percent">What the impedance's ends are widened by, %; null to leave the impedance out.</param>
    public SpreadEstimate Inside(double db, double? percent) =>
        SpreadEstimate.Share(BeyondDb.Zip(BeyondPercent).Count(unit => unit.First <= db && (percent is null || unit.Second <= percent)), BeyondDb.Count);

    /// <summary>How much more units of this build than of another keep every limit. Common draws make the error smaller than either's own.</summary>
    /// <exception cref="ArgumentException">Other seed, distribution or number of units.</exception>
    public SpreadEstimate YieldOver(SpreadResult other)
    {
        if (other.Settings != Settings)
        {
            throw new ArgumentException("Both must be drawn alike.", nameof(other));
        }

        return SpreadEstimate.Mean([.. Keeps.Zip(other.Keeps, (own, others) => (own ? 1.0 : 0) - (others ? 1.0 : 0))]);
    }
}

/// <summary>The spread at one frequency, at the job's drive.</summary>
/// <param name="Hz">Frequency, Hz.</param>
/// <param name="NominalDb">Eardrum SPL with exact parts, dB re 20 µPa.</param>
/// <param name="LowDb">SPL below which few units are.</param>
/// <param name="MedianDb">Median SPL.</param>
/// <param name="HighDb">SPL above which few units are.</param>
/// <param name="DeviationDb">Standard deviation of the SPL, dB.</param>
/// <param name="NominalOhm">Magnitude of the socket impedance with exact parts, Ω.</param>
/// <param name="LowOhm">Impedance below which few units are.</param>
/// <param name="HighOhm">Impedance above which few units are.</param>
/// <param name="SideMedianDb">Median level difference between left and right, dB.</param>
/// <param name="SideHighDb">Its 95th percentile.</param>
/// <param name="SideMedianDeg">Median phase difference between left and right, degrees.</param>
/// <param name="SideHighDeg">Its 95th percentile.</param>
public sealed record SpreadPoint(
    double Hz,
    double NominalDb,
    SpreadEstimate LowDb,
    SpreadEstimate MedianDb,
    SpreadEstimate HighDb,
    SpreadEstimate DeviationDb,
    double NominalOhm,
    SpreadEstimate LowOhm,
    SpreadEstimate HighOhm,
    SpreadEstimate SideMedianDb,
    SpreadEstimate SideHighDb,
    SpreadEstimate SideMedianDeg,
    SpreadEstimate SideHighDeg);
