using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What a measurement says of a unit.</summary>
/// <param name="Verdicts">Every place and kind of fault that was weighed, likeliest first; "none found" is one of them.</param>
/// <param name="Limits">The limits it was held against.</param>
/// <param name="Outside">Where it lies outside them.</param>
/// <param name="OutsideOhm">Where its impedance lies outside them.</param>
/// <param name="Assumed">Parts of which the drawer states no spread, and what was assumed; see <see cref="PartSpread.Assumed"/>.</param>
/// <param name="Points">How many frequencies were looked at.</param>
/// <param name="Explained">Whether the likeliest story leaves no more than noise would: within four standard deviations of the misfit of a true story.</param>
public sealed record UnitReport(
    IReadOnlyList<UnitVerdict> Verdicts, UnitLimits Limits, IReadOnlyList<OutsideLimits> Outside, IReadOnlyList<OutsideOhm> OutsideOhm, IReadOnlyList<string> Assumed, int Points, bool Explained)
{
    /// <summary>Measured frequencies for which there are limits of level.</summary>
    public required int Judged { get; init; }

    /// <summary>Measured frequencies at which an impedance was held against limits.</summary>
    public required int JudgedOhm { get; init; }

    /// <summary>Whether every level, and every impedance that was held against limits, lies inside them; what no limit of level was held against does not pass.</summary>
    public bool Passes => Judged > 0 && Outside.Count == 0 && OutsideOhm.Count == 0;

    /// <summary>How many times likelier the first is than the second.</summary>
    public double Odds => Verdicts.Count < 2 ? double.PositiveInfinity : Verdicts[0].Probability / Math.Max(Verdicts[1].Probability, 1e-300);

    /// <summary>Odds below which two stories are called equally good.</summary>
    public const double EquallyGood = 3;

    /// <summary>The stories that the data cannot tell from the likeliest one.</summary>
    public IReadOnlyList<UnitVerdict> Alike => [.. Verdicts.Skip(1).Where(other => Verdicts[0].Probability < EquallyGood * other.Probability)];
}

/// <summary>One place and kind of fault.</summary>
/// <param name="Kind">The kind.</param>
/// <param name="Place">Where.</param>
/// <param name="Words">The likeliest story of it, value included.</param>
/// <param name="Value">Its fitted value, SI or a factor; null where there is none.</param>
/// <param name="Probability">How likely it is, of all that were weighed.</param>
/// <param name="MisfitPerRow">Misfit a row of data; about 1 for a true story.</param>
public sealed record UnitVerdict(FaultKind Kind, string Place, string Words, double? Value, double Probability, double MisfitPerRow);

/// <summary>A level outside the limits.</summary>
public sealed record OutsideLimits(double Hz, double MeasuredDb, double LowDb, double HighDb);

/// <summary>An impedance outside the limits.</summary>
public sealed record OutsideOhm(double Hz, double MeasuredOhm, double LowOhm, double HighOhm);

/// <summary>
/// Holds a measured unit against its build: pass or fail by frequency, and the likely fault. Every story of
/// <see cref="FaultStories"/> is looked at; those that a first look leaves in play, and the best of each place and kind, are fitted, and their
/// probabilities compared.
/// One fault at a time: a unit with two is at best named by the larger, and told as not explained.
/// </summary>
public static class UnitInspection
{
    private const int Starts = 17;
    private const int MostFits = 24;

    // A first look takes a unit's parts to be as planned and errs by tens where they are not, so the best story of every place and kind is at least begun;
    // those that it does not put so far behind (e^−80) are seen through.
    private const double FarBehind = 80;

    /// <summary>Inspects a unit.</summary>
    /// <param name="build">What was to be built.</param>
    /// <param name="problem">Gives drive, ear, tolerances and dampers.</param>
    /// <param name="measurement">What was measured.</param>
    /// <param name="noise">How far the bench is trusted.</param>
    /// <param name="limits">Limits; null to make them from the spread of the parts.</param>
    public static UnitReport Inspect(Earpiece build, Problem problem, UnitMeasurement measurement, BenchNoise noise, UnitLimits? limits = null)
    {
        UnitMeasurement thinned = measurement.Thinned();
        var channels = new UnitChannels(problem, thinned, noise);
        var spread = new PartSpread(build, problem, new());
        var fitting = new StoryFitting(build, spread, channels);
        limits ??= SpreadLimits.Of(channels, fitting);
        StoryFit[] fits = [.. Fits(FaultStories.Of(build, problem), fitting)];
        UnitVerdict[] verdicts = [.. Weigh(fits, channels.Rows)];
        return new(
            verdicts, limits, [.. Outside(measurement, limits)], [.. OutsideOhm(measurement, limits)], spread.Assumed, thinned.Hz.Length, Explained(verdicts[0], channels.Rows))
        {
            Judged = measurement.Hz.Count(hz => limits.At(hz) is not null),
            JudgedOhm = measurement.ImpedanceOhm is null ? 0 : measurement.Hz.Count(hz => limits.OhmAt(hz) is not null),
        };
    }

    /// <summary>A true story's misfit is chi-squared with as many degrees of freedom as rows.</summary>
    private static bool Explained(UnitVerdict best, int rows) => best.MisfitPerRow < 1 + (4 * Math.Sqrt(2.0 / rows));

    private static IEnumerable<StoryFit> Fits(IReadOnlyList<FaultStory> stories, StoryFitting fitting)
    {
        var looked = stories.Select(story =>
        {
            (double u, double score) = (story.Value is null ? [0] : Enumerable.Range(0, Starts).Select(k => k / (Starts - 1.0)))
                .Select(u => (u, fitting.Screen(story, u)))
                .MaxBy(look => look.Item2);
            return (Story: story, U: u, Score: score + Math.Log(story.Prior));
        }).OrderByDescending(look => look.Score).ToArray();
        var likely = looked.Where((look, rank) => look.Story.Kind == FaultKind.NoneFound || (rank < MostFits && look.Score > looked[0].Score - FarBehind)).ToArray();
        StoryFit[] fits = [.. likely.Select(look => fitting.Fit(look.Story, look.U))];
        double least = fits.Min(fit => fit.Misfit);
        return [.. fits, .. looked.DistinctBy(look => look.Story.Key).Except(likely).Select(look => fitting.Fit(look.Story, look.U, least))];
    }

    private static IEnumerable<UnitVerdict> Weigh(StoryFit[] fits, int rows)
    {
        // Where even the best story leaves more than the bench is said to err, the bench or the model errs more: what one row tells then counts less.
        double dulled = Math.Max(1, fits.Min(fit => fit.Misfit) / rows);
        double[] log = [.. fits.Select(fit => (fit.LogEvidence / dulled) + Math.Log(fit.Story.Prior))];
        double most = log.Max(), sum = log.Sum(value => Math.Exp(value - most));
        return fits.Zip(log, (fit, value) => (Fit: fit, Share: Math.Exp(value - most) / sum))
            .GroupBy(item => item.Fit.Story.Key)
            .Select(same =>
            {
                (StoryFit fit, _) = same.MaxBy(item => item.Share);
                double? value = fit.Story.Value?.At(fit.U);
                string words = value is { } number ? fit.Story.Words.Replace("{0}", fit.Story.Value!.ToWords(number), StringComparison.Ordinal) : fit.Story.Words;
                return new UnitVerdict(fit.Story.Kind, fit.Story.Place, words, value, same.Sum(item => item.Share), fit.Misfit / rows);
            })
            .OrderByDescending(verdict => verdict.Probability);
    }

    private static IEnumerable<OutsideLimits> Outside(UnitMeasurement measurement, UnitLimits limits)
    {
        for (int k = 0; k < measurement.Hz.Length; k++)
        {
            if (limits.At(measurement.Hz[k]) is ({ } low, { } high) && !(measurement.SplDb[k] >= low && measurement.SplDb[k] <= high))
            {
                yield return new(measurement.Hz[k], measurement.SplDb[k], low, high);
            }
        }
    }

    private static IEnumerable<OutsideOhm> OutsideOhm(UnitMeasurement measurement, UnitLimits limits)
    {
        for (int k = 0; k < measurement.Hz.Length; k++)
        {
            if (measurement.ImpedanceOhm?[k] is { } ohm && limits.OhmAt(measurement.Hz[k]) is ({ } low, { } high) && !(ohm >= low && ohm <= high))
            {
                yield return new(measurement.Hz[k], ohm, low, high);
            }
        }
    }
}
