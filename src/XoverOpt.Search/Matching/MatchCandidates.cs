using System.Numerics;

namespace XoverOpt.Search;

/// <summary>Some receivers of a part parted into left and right.</summary>
/// <param name="Left">Left, by their place in the list.</param>
/// <param name="Right">Right, as many.</param>
/// <param name="MismatchDb">How far the means of the two sides lie apart.</param>
public sealed record MatchCandidate(int[] Left, int[] Right, double MismatchDb);

/// <summary>
/// Every choice of 2n receivers of a part whose best division into left and right keeps the limit. Past
/// <see cref="Most"/> choices only receivers that are near one another in sensitivity are tried together, as near as that many choices
/// allow: up to 200 receivers in pairs, 32 in fours and 17 in eights are tried in full.
/// </summary>
public static class MatchCandidates
{
    /// <summary>Most choices that are looked at.</summary>
    public const int Most = 40_000;

    /// <summary>The candidates of a group.</summary>
    /// <param name="receivers">All receivers; those of other parts are passed over.</param>
    /// <param name="group">What is matched.</param>
    /// <param name="limitDb">Largest mismatch, dB.</param>
    /// <returns>The candidates, and whether every choice was looked at.</returns>
    public static (IReadOnlyList<MatchCandidate> Found, bool Whole) Of(IReadOnlyList<MeasuredReceiver> receivers, MatchGroup group, double limitDb)
    {
        int[] order = [.. Enumerable.Range(0, receivers.Count).Where(i => receivers[i].PartNumber == group.PartNumber)
            .OrderBy(i => receivers[i].SensitivityDb).ThenBy(i => receivers[i].Serial, StringComparer.Ordinal)];
        int size = 2 * group.Count;
        List<MatchCandidate> found = [];
        if (order.Length < size)
        {
            return (found, true);
        }

        int window = order.Length;
        while (window > size && Choices(order.Length, window, size) > Most)
        {
            window--;
        }

        int[][] halves = [.. Halves(size)];
        int[] chosen = new int[size];
        Choose(0, 0);
        return (found, window == order.Length);

        void Choose(int from, int filled)
        {
            if (filled == size)
            {
                found.AddRange(Best());
                return;
            }

            int end = filled == 0 ? order.Length : Math.Min(order.Length, chosen[0] + window);
            for (int at = from; at < end; at++)
            {
                chosen[filled] = at;
                Choose(at + 1, filled + 1);
            }
        }

        IEnumerable<MatchCandidate> Best()
        {
            MatchCandidate best = halves.Select(half =>
            {
                int[] left = [.. half.Select(k => order[chosen[k]])];
                int[] right = [.. Enumerable.Range(0, size).Except(half).Select(k => order[chosen[k]])];
                return new MatchCandidate(left, right, group.Measure.Mismatch(Mean(left), Mean(right)));
            }).MinBy(candidate => candidate.MismatchDb)!;
            return best.MismatchDb <= limitDb ? [best] : [];
        }

        MatchMean Mean(int[] side) => MatchMean.Of([.. side.Select(i => receivers[i])]);
    }

    /// <summary>Choices of <paramref name="size"/> out of <paramref name="count"/> in a row that span at most <paramref name="window"/>.</summary>
    private static double Choices(int count, int window, int size)
    {
        double sum = 0;
        for (int first = 0; first <= count - size; first++)
        {
            int others = Math.Min(count, first + window) - first - 1;
            double ways = 1;
            for (int k = 0; k < size - 1; k++)
            {
                ways *= (double)(others - k) / (k + 1);
            }

            sum += ways;
        }

        return sum;
    }

    /// <summary>The halves of 0 … size − 1 that hold 0.</summary>
    private static IEnumerable<int[]> Halves(int size)
    {
        for (uint bits = 1; bits < 1u << size; bits += 2)
        {
            if (BitOperations.PopCount(bits) == size / 2)
            {
                yield return [.. Enumerable.Range(0, size).Where(k => (bits >> k & 1) != 0)];
            }
        }
    }
}
