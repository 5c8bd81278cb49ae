using System.Text.Json.Nodes;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Api;

/// <summary>What a build comes to with other receivers in the place of one that is out.</summary>
/// <param name="Caution">What must be said where levels are shown.</param>
/// <param name="Notes">What the numbers rest on.</param>
/// <param name="Receiver">The receiver that is out.</param>
/// <param name="Ways">The ways that have it.</param>
/// <param name="Pieces">How many of it one earpiece has.</param>
/// <param name="Cost">Cost of the build as it is.</param>
/// <param name="Feasible">Whether it keeps every limit.</param>
/// <param name="PartsCost">Price of its parts; absent where one has no price.</param>
/// <param name="InReach">Receivers of the drawer that are at hand and could be tried.</param>
/// <param name="Swaps">The swaps tried, best first in the order builds are ranked in.</param>
public sealed record SwapsView(
    string Caution,
    IReadOnlyList<string> Notes,
    string Receiver,
    IReadOnlyList<string> Ways,
    int Pieces,
    double Cost,
    bool Feasible,
    decimal? PartsCost,
    int InReach,
    IReadOnlyList<SwapView> Swaps)
{
    /// <summary>What is said beside every list of swaps.</summary>
    public static IReadOnlyList<string> About { get; } =
    [
        "Distance is the RMS change at the eardrum when nothing else of the build is changed, after one level and one delay of the way, which a resistor and the tube set anew: what is left is the receiver's own. Receivers that fall short of a peak SPL asked for come after all others, since armature travel sets it.",
        "The rest of the build is optimised anew for each receiver: values, dampers, tube lengths and bores of the job. Counts, wiring, polarities and kinds of network stay; a whole search may find a better build with other ones.",
    ];

    internal static SwapsView Of(ReceiverSwaps swaps, string receiver, IReadOnlyList<TimedSwap> tried) => new(
        BuildFile.Caution,
        About,
        receiver,
        swaps.Ways,
        swaps.Pieces,
        swaps.Original.Cost.Total,
        swaps.Original.Feasible,
        swaps.Original.Figures.PartsCost,
        swaps.Candidates.Count,
        [.. tried.Select(swap => SwapView.Of(swap, swaps.Original))]);
}

/// <summary>One receiver in another's place.</summary>
/// <param name="Rank">Place among the swaps tried, 1 is best.</param>
/// <param name="Receiver">The receiver.</param>
/// <param name="Maker">Who makes it.</param>
/// <param name="Nearness">Its place by distance, 1 is nearest; those that fall short of a peak SPL come after all others.</param>
/// <param name="DistanceDb">How unlike it is in this place, dB.</param>
/// <param name="LevelDb">How much louder (below 0: softer) the way is by itself with it, dB.</param>
/// <param name="ImpedanceDb">RMS change of the socket impedance before anything else is changed, dB.</param>
/// <param name="BodyMm3">What one body needs more (below 0: less), mm³; absent where a size is not stated.</param>
/// <param name="DropsIn">Whether its body is no larger in any direction; absent where a size is not stated.</param>
/// <param name="PeakShortDb">By how much it falls short of a peak SPL asked for, nothing else changed, dB; absent where it cannot be judged.</param>
/// <param name="Listed">Whether the job lists it for every way it stands in.</param>
/// <param name="CostAsItIs">Cost with nothing but the receiver changed.</param>
/// <param name="Cost">Cost after the rest was optimised anew.</param>
/// <param name="CostPercent">Change against the build as it is, %.</param>
/// <param name="Feasible">Whether it keeps every limit.</param>
/// <param name="BrokenLimits">Which limits are broken, in words.</param>
/// <param name="PriceDifference">What the parts of one earpiece cost more (below 0: less); absent where a price is not known.</param>
/// <param name="Stock">How many are on the shelf; absent where not stated.</param>
/// <param name="LeadTimeDays">Days until more arrive; absent where not stated.</param>
/// <param name="Seconds">Wall time it took, s.</param>
/// <param name="Build">The build file, without its response.</param>
public sealed record SwapView(
    int Rank,
    string Receiver,
    string Maker,
    int Nearness,
    double DistanceDb,
    double? LevelDb,
    double ImpedanceDb,
    double? BodyMm3,
    bool? DropsIn,
    double? PeakShortDb,
    bool Listed,
    double? CostAsItIs,
    double? Cost,
    double? CostPercent,
    bool Feasible,
    IReadOnlyList<string> BrokenLimits,
    decimal? PriceDifference,
    decimal? Stock,
    int? LeadTimeDays,
    double Seconds,
    JsonObject Build)
{
    internal static SwapView Of(TimedSwap swap, RankedBuild original)
    {
        (SwapCandidate candidate, RankedBuild build, RankedBuild asItIs, _, _) = swap.Result;
        JsonObject file = JsonNode.Parse(SwapQuestion.Write(swap))!.AsObject();
        file.Remove("response");
        return new(
            swap.Rank,
            candidate.Receiver.Receiver.PartNumber,
            candidate.Receiver.Maker,
            candidate.Nearness,
            candidate.Distance.ResponseDb,
            Finite(candidate.Distance.LevelDb),
            candidate.Distance.ImpedanceDb,
            candidate.Distance.BodyMm3,
            candidate.Distance.DropsIn,
            Finite(candidate.PeakShortDb),
            candidate.Listed,
            Finite(asItIs.Cost.Total),
            Finite(build.Cost.Total),
            Finite(100 * ((build.Cost.Total / original.Cost.Total) - 1)),
            build.Feasible,
            build.BrokenLimits,
            build.Figures.PartsCost - original.Figures.PartsCost,
            candidate.Receiver.Supply?.Stock,
            candidate.Receiver.Supply?.LeadTimeDays,
            Math.Round(swap.Seconds, 3),
            file);
    }

    private static double? Finite(double value) => double.IsFinite(value) ? value : null;
}
