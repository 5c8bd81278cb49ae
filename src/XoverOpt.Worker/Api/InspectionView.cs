using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Api;

/// <summary>A built unit against its build.</summary>
/// <param name="Caution">What must be said where levels are shown.</param>
/// <param name="Passes">Whether every level, and every impedance that was held against limits, lies inside them.</param>
/// <param name="Outside">Where a level does not.</param>
/// <param name="OutsideOhm">Where an impedance does not.</param>
/// <param name="Assumed">Parts of which the drawer states no spread, and what was assumed.</param>
/// <param name="Verdict">What the data say, in words.</param>
/// <param name="Explained">Whether the likeliest story leaves no more than noise would.</param>
/// <param name="Odds">How many times likelier the first story is than the second; absent where there is no second.</param>
/// <param name="Stories">The likeliest stories.</param>
/// <param name="Limits">The limits it was held against.</param>
public sealed record InspectionView(
    string Caution,
    bool Passes,
    IReadOnlyList<OutsideLimits> Outside,
    IReadOnlyList<OutsideOhm> OutsideOhm,
    IReadOnlyList<string> Assumed,
    IReadOnlyList<string> Verdict,
    bool Explained,
    double? Odds,
    IReadOnlyList<StoryView> Stories,
    UnitLimits Limits)
{
    private const int Most = 8;

    internal static InspectionView Of(UnitReport report, UnitMeasurement measured) => new(
        BuildFile.Caution,
        report.Passes,
        report.Outside,
        report.OutsideOhm,
        report.Assumed,
        [.. InspectionText.Words(report, measured)],
        report.Explained,
        double.IsFinite(report.Odds) ? report.Odds : null,
        [.. report.Verdicts.Take(Most).Select(verdict => new StoryView(
            char.ToLowerInvariant(verdict.Kind.ToString()[0]) + verdict.Kind.ToString()[1..], verdict.Place, verdict.Words, verdict.Value, verdict.Probability, verdict.MisfitPerRow))],
        report.Limits);
}

/// <summary>One story.</summary>
/// <param name="Kind">What kind of fault.</param>
/// <param name="Place">Where.</param>
/// <param name="Words">In words.</param>
/// <param name="Value">Its fitted value: m, or a factor for a part; absent where it has none.</param>
/// <param name="Probability">How likely it is, of all that were weighed.</param>
/// <param name="MisfitPerRow">Misfit a number measured; about 1 for a true story.</param>
public sealed record StoryView(string Kind, string Place, string Words, double? Value, double Probability, double MisfitPerRow);
