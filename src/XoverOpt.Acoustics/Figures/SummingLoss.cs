using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Summing loss 20 log₁₀(Σ|shares| / |Σ shares|), dB: what the ways lose against each other; 0 dB is coherent. The worst is reported
/// where ways overlap: where the second strongest share is within 10 dB of the strongest.
/// </summary>
public static class SummingLoss
{
    private static readonly double Overlap = Math.Pow(10, -10.0 / 20);

    /// <summary>Fills the loss in nepers over [<paramref name="from"/>, <paramref name="to"/>) and returns the worst in overlaps, dB.</summary>
    /// <param name="shares">|share|, a row a way of <paramref name="count"/> numbers.</param>
    /// <param name="wholeLog">ln|p|.</param>
    /// <param name="ways">How many ways.</param>
    /// <param name="count">Grid length, a multiple of four.</param>
    /// <param name="from">First grid point.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="loss">Result, nepers.</param>
    /// <param name="fractions">|share|/Σ|shares|, a row a way.</param>
    public static double Of(
        ReadOnlySpan<double> shares, ReadOnlySpan<double> wholeLog, int ways, int count, int from, int to, Span<double> loss, Span<double> fractions)
    {
        double worst = LaneWidth.IsEight(count)
            ? Kernel.Eight.SummingLanes.Of(shares, wholeLog, ways, count, from, to, loss, fractions, Overlap)
            : Kernel.Four.SummingLanes.Of(shares, wholeLog, ways, count, from, to, loss, fractions, Overlap);
        return MagnitudeError.DbPerNeper * worst;
    }
}
