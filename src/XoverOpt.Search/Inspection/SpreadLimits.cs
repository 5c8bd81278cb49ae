namespace XoverOpt.Search;

/// <summary>Limits for one unit made from the spread of its parts and what the bench errs by, as far as the response follows them in a straight line.</summary>
internal static class SpreadLimits
{
    /// <summary>Half the width of the limits, in standard deviations of spread and bench.</summary>
    public const double Deviations = 3;

    private const int Drawn = 2000;
    private const ulong Seed = 1;

    /// <summary>Limits of level, and of impedance where it was measured.</summary>
    public static UnitLimits Of(UnitChannels channels, StoryFitting fitting)
    {
        int n = channels.Measurement.Hz.Length, ohms = channels.OhmRow;
        int[] rows = [.. Enumerable.Range(0, n), .. ohms < 0 ? [] : Enumerable.Range(ohms, n)];
        double Expected(int row) => channels.Measured(row) - (fitting.Good[row] * channels.Scale(row));
        double Half(int row) => Deviations * channels.Scale(row) * Math.Sqrt(1 + fitting.Jacobian.Sum(column => column[row] * column[row]));
        double[] Level(double side) => [.. Enumerable.Range(0, n).Select(k => Expected(k) + (side * Half(k)))];
        double[]? Ohm(double side) => ohms < 0 ? null : [.. Enumerable.Range(ohms, n).Select(row => Math.Pow(10, (Expected(row) + (side * Half(row))) / 20))];
        return new(channels.Measurement.Hz, Level(0), Level(-1), Level(1)) { ExpectedOhm = Ohm(0), LowOhm = Ohm(-1), HighOhm = Ohm(1), Inside = Inside(rows, fitting) };
    }

    /// <summary>Share of units in order that measure inside all limits at once: deviations and bench errors drawn, all normal.</summary>
    private static SpreadEstimate Inside(int[] rows, StoryFitting fitting)
    {
        double[] half = [.. rows.Select(row => Deviations * Math.Sqrt(1 + fitting.Jacobian.Sum(column => column[row] * column[row])))];
        var random = new Random64(Seed);
        double[] off = new double[rows.Length];
        int inside = 0;
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

            inside += off.Zip(half).All(row => Math.Abs(row.First) <= row.Second) ? 1 : 0;
        }

        return SpreadEstimate.Share(inside, Drawn);
    }
}
