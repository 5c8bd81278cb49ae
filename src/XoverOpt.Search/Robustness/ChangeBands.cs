using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>The frequencies and bands by which changes of a response are judged: 24 points an octave from 20 Hz to 20 kHz.</summary>
internal sealed class ChangeBands
{
    private readonly double[] _level;
    private readonly double[] _shape;

    /// <summary>Takes the level band of the job (its whole target band where the target is absolute) and its target band up to an edge.</summary>
    public ChangeBands(Problem problem, double highestHz)
    {
        var grid = FrequencyGrid.Standard(24);
        int from = grid.Nearest(20), to = grid.Nearest(20_000) + 1;
        Target target = problem.Target;
        (double low, double high) = target.Level == LevelKind.Relative ? (target.LevelLowHz, target.LevelHighHz) : (target.BandLowHz, target.BandHighHz);
        Hz = grid.Hz[from..to];
        _level = Weights(low, high);
        _shape = Weights(target.BandLowHz, Math.Max(Math.Min(target.BandHighHz, highestHz), target.BandLowHz));

        // A band that falls between two points takes the nearest; one that reaches beyond the frequencies counts within them.
        double[] Weights(double lowest, double highest)
        {
            double[] weights = grid.BandWeights(lowest, highest)[from..to];
            if (weights.All(weight => weight == 0))
            {
                weights[Math.Clamp(grid.Nearest(Math.Sqrt(lowest * highest)) - from, 0, to - from - 1)] = 1;
            }

            double sum = weights.Sum();
            return [.. weights.Select(weight => weight / sum)];
        }
    }

    /// <summary>Frequencies, Hz.</summary>
    public double[] Hz { get; }

    /// <summary>Eardrum pressure at every frequency, Pa.</summary>
    public PlainResponse[] Responses(Earpiece earpiece, Ear ear, Source source) =>
        [.. Hz.Select(hz => PlainResponse.At(earpiece, ear, source, 2 * Math.PI * hz))];

    /// <summary>Judges a change, dB by frequency.</summary>
    public ResponseChange Judge(ReadOnlySpan<double> changeDb) => ResponseChange.Of(Hz, changeDb, _level, _shape);
}
