using XoverOpt.Workshop.Matching;

namespace XoverOpt.Worker.Api;

/// <summary>Receivers sorted into left and right.</summary>
/// <param name="LimitDb">Largest mismatch of a pair, dB.</param>
/// <param name="Proven">Whether no other assignment makes more sets, or as many with less mismatch.</param>
/// <param name="TotalMismatchDb">Sum of all mismatches, dB.</param>
/// <param name="Sets">The sets, nearest first.</param>
/// <param name="LeftOver">Receivers of no set.</param>
public sealed record PairView(double LimitDb, bool Proven, double TotalMismatchDb, IReadOnlyList<PairSetView> Sets, IReadOnlyList<PairLeftView> LeftOver)
{
    /// <summary>The limit where none is asked for, dB (common practice, no source).</summary>
    public const double UsualLimitDb = 1;

    internal static PairView Of(PairPlan plan) => new(
        plan.LimitDb,
        plan.Proven,
        plan.TotalMismatchDb,
        [.. plan.Sets.Select(set => new PairSetView(set.WholeDb, [.. set.Groups.Select(group => new PairGroupView(
            group.Group.Name,
            group.Group.PartNumber,
            [.. group.Left.Select(receiver => receiver.Serial)],
            [.. group.Right.Select(receiver => receiver.Serial)],
            group.MismatchDb))]))],
        [.. plan.Left.Select(left => new PairLeftView(left.Receiver.Serial, left.Receiver.PartNumber, left.Why))]);
}

/// <summary>One set.</summary>
/// <param name="WholeDb">Largest difference of the whole earpiece, dB; absent without a build.</param>
/// <param name="Groups">Its ways, or its one part.</param>
public sealed record PairSetView(double? WholeDb, IReadOnlyList<PairGroupView> Groups);

/// <summary>The receivers of a way.</summary>
public sealed record PairGroupView(string Name, string PartNumber, IReadOnlyList<string> Left, IReadOnlyList<string> Right, double MismatchDb);

/// <summary>A receiver of no set.</summary>
public sealed record PairLeftView(string Serial, string PartNumber, string Why);
