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
        _level = grid.BandWeights(low, high)[from..to];
        _shape = grid.BandWeights(target.BandLowHz, Math.Max(Math.Min(target.BandHighHz, highestHz), 2 * target.BandLowHz))[from..to];
    }

    /// <summary>Frequencies, Hz.</summary>
    public double[] Hz { get; }

    /// <summary>Eardrum pressure at every frequency, Pa.</summary>
    public PlainResponse[] Responses(Earpiece earpiece, Ear ear, Source source) =>
        [.. Hz.Select(hz => PlainResponse.At(earpiece, ear, source, 2 * Math.PI * hz))];

    /// <summary>Judges a change, dB by frequency.</summary>
    public ResponseChange Judge(ReadOnlySpan<double> changeDb) => ResponseChange.Of(Hz, changeDb, _level, _shape);
}
