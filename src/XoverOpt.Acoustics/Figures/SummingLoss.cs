namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// Summing loss 20 log₁₀(Σ|shares| / |Σ shares|), dB: what the ways lose against each other; 0 dB is coherent. The worst is reported
/// where ways overlap: where the second strongest share is within 10 dB of the strongest.
/// </summary>
public static class SummingLoss
{
    private static readonly double Overlap = 10 / MagnitudeError.DbPerNeper;

    /// <summary>Fills the loss in nepers over [<paramref name="from"/>, <paramref name="to"/>) and returns the worst in overlaps, dB.</summary>
    /// <param name="shareLogs">ln|share|, a row a way of <paramref name="count"/> numbers.</param>
    /// <param name="wholeLog">ln|p|.</param>
    /// <param name="ways">How many ways.</param>
    /// <param name="count">Grid length.</param>
    /// <param name="from">First grid point.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="loss">Result, nepers.</param>
    /// <param name="fractions">|share|/Σ|shares|, a row a way.</param>
    public static double Of(
        ReadOnlySpan<double> shareLogs, ReadOnlySpan<double> wholeLog, int ways, int count, int from, int to, Span<double> loss, Span<double> fractions)
    {
        double worst = 0;
        for (int k = from; k < to; k++)
        {
            double sum = 0, first = double.NegativeInfinity, second = double.NegativeInfinity;
            for (int i = 0; i < ways; i++)
            {
                double level = shareLogs[(i * count) + k];
                double part = Math.Exp(level - wholeLog[k]);
                fractions[(i * count) + k] = part;
                sum += part;
                second = Math.Max(second, Math.Min(level, first));
                first = Math.Max(first, level);
            }

            for (int i = 0; i < ways; i++)
            {
                fractions[(i * count) + k] /= sum;
            }

            loss[k] = Math.Max(Math.Log(sum), 0);
            if (second >= first - Overlap)
            {
                worst = Math.Max(worst, loss[k]);
            }
        }

        return MagnitudeError.DbPerNeper * worst;
    }
}
