using XoverOpt.Search;

namespace XoverOpt.Workshop.Matching;

/// <summary>Receivers sorted into left and right.</summary>
/// <param name="Sets">The sets; for parts without a build, one part a set.</param>
/// <param name="Left">Receivers of no set, in the order of the list, and why.</param>
/// <param name="Proven">Whether no other assignment makes more sets, or as many with less mismatch.</param>
/// <param name="LimitDb">The limit, dB.</param>
public sealed record PairPlan(IReadOnlyList<MatchedSet> Sets, IReadOnlyList<LeftOver> Left, bool Proven, double LimitDb)
{
    /// <summary>Sum of the mismatches of all groups, dB.</summary>
    public double TotalMismatchDb => Sets.Sum(set => set.Groups.Sum(group => group.MismatchDb));
}

/// <summary>One set: a left and a right earpiece.</summary>
/// <param name="Groups">Its groups, in the order they were asked for.</param>
/// <param name="WholeDb">
/// Largest difference between left and right of the whole earpiece from these receivers, dB, after each group was put the way round that
/// makes it least; null without a build.
/// </param>
public sealed record MatchedSet(IReadOnlyList<MatchedGroup> Groups, double? WholeDb);

/// <summary>One way's receivers of a set.</summary>
/// <param name="Group">What they are for.</param>
/// <param name="Left">Left.</param>
/// <param name="Right">Right.</param>
/// <param name="MismatchDb">How far they lie apart, dB.</param>
public sealed record MatchedGroup(MatchGroup Group, IReadOnlyList<MeasuredReceiver> Left, IReadOnlyList<MeasuredReceiver> Right, double MismatchDb);

/// <summary>A receiver of no set.</summary>
/// <param name="Receiver">The receiver.</param>
/// <param name="Why">Why, in a few words.</param>
public sealed record LeftOver(MeasuredReceiver Receiver, string Why);
