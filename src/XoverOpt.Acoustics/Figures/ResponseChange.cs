namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// How a response moved, in two parts: the change of level, which a volume control takes back, and the change of shape that is left.
/// </summary>
/// <param name="LevelDb">Mean change over the level band on log frequency, dB.</param>
/// <param name="RmsDb">RMS over the shape band of what is left after it, dB.</param>
/// <param name="MaxDb">What is left where it is largest, dB, with its sign.</param>
/// <param name="MaxAtHz">Where that is, Hz.</param>
public sealed record ResponseChange(double LevelDb, double RmsDb, double MaxDb, double MaxAtHz)
{
    /// <summary>Computes it.</summary>
    /// <param name="hz">Frequencies, Hz.</param>
    /// <param name="changeDb">The change at each, dB.</param>
    /// <param name="level">Weight of each in the level, adding up to one.</param>
    /// <param name="shape">Weight of each in the shape, adding up to one; 0 is outside.</param>
    /// <exception cref="ArgumentException">The shape has no frequency.</exception>
    public static ResponseChange Of(IReadOnlyList<double> hz, ReadOnlySpan<double> changeDb, ReadOnlySpan<double> level, ReadOnlySpan<double> shape)
    {
        double mean = 0, squares = 0;
        for (int k = 0; k < changeDb.Length; k++)
        {
            mean += level[k] * changeDb[k];
        }

        int largest = -1;
        for (int k = 0; k < changeDb.Length; k++)
        {
            double left = changeDb[k] - mean;
            squares += shape[k] * left * left;
            if (shape[k] > 0 && (largest < 0 || Math.Abs(left) > Math.Abs(changeDb[largest] - mean)))
            {
                largest = k;
            }
        }

        if (largest < 0)
        {
            throw new ArgumentException("No frequency has a weight above 0.", nameof(shape));
        }

        return new(mean, Math.Sqrt(squares), changeDb[largest] - mean, hz[largest]);
    }
}
