namespace XoverOpt.Search;

/// <summary>
/// Limits for one unit made from the spread of its parts and what the bench errs by, as far as the response follows them in a straight line:
/// expected ± k standard deviations, k being such that a stated share of units in order measures inside at every frequency at once. Limits of three deviations
/// at each of a hundred frequencies would refuse one such unit in four. Units whose response bends more than a straight line are refused more often than aimed
/// at: of 16 simulated ones 2.
/// </summary>
internal static class SpreadLimits
{
    /// <summary>Share of units in order that is let through.</summary>
    public const double Inside = 0.99;

    private const int Drawn = 2000;
    private const ulong Seed = 1;

    /// <summary>Limits of level, and of impedance where it was measured.</summary>
    public static UnitLimits Of(UnitChannels channels, StoryFitting fitting)
    {
        int n = channels.Measurement.Hz.Length, ohms = channels.OhmRow;
        int[] rows = [.. Enumerable.Range(0, n), .. ohms < 0 ? [] : Enumerable.Range(ohms, n)];
        double[] deviations = [.. rows.Select(row => Math.Sqrt(1 + fitting.Jacobian.Sum(column => column[row] * column[row])))];
        SpreadEstimate k = Deviations(rows, deviations, fitting);
        double At(int i, double side) => channels.Measured(rows[i]) + (channels.Scale(rows[i]) * ((side * k.Value * deviations[i]) - fitting.Good[rows[i]]));
        double[] Level(double side) => [.. Enumerable.Range(0, n).Select(i => At(i, side))];
        double[]? Ohm(double side) => ohms < 0 ? null : [.. Enumerable.Range(n, n).Select(i => Math.Pow(10, At(i, side) / 20))];
        return new(channels.Measurement.Hz, Level(0), Level(-1), Level(1)) { ExpectedOhm = Ohm(0), LowOhm = Ohm(-1), HighOhm = Ohm(1), Inside = Inside };
    }

    /// <summary>How many standard deviations the share of units stays within: the quantile of the largest, parts and bench drawn normal.</summary>
    private static SpreadEstimate Deviations(int[] rows, double[] deviations, StoryFitting fitting)
    {
        var random = new Random64(Seed);
        double[] off = new double[rows.Length], largest = new double[Drawn];
        for (int unit = 0; unit < Drawn; unit++)
        {
            for (int i = 0; i < rows.Length; i++)
            {
                off[i] = random.NextNormal();
            }

            foreach (double[] column in fitting.Jacobian)
            {
                double z = random.NextNormal();
                for (int i = 0; i < rows.Length; i++)
                {
                    off[i] += z * column[rows[i]];
                }
            }

            for (int i = 0; i < rows.Length; i++)
            {
                largest[unit] = Math.Max(largest[unit], Math.Abs(off[i]) / deviations[i]);
            }
        }

        Array.Sort(largest);
        return SpreadEstimate.Quantile(largest, Inside);
    }
}
