using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Changes;

/// <summary>How the response of one build differs from that of another, each with the drive and ear of its own job.</summary>
/// <param name="LevelDb">Mean difference over the level band, dB: new less old.</param>
/// <param name="RmsDb">RMS of what is left after it, over the band that counts, dB.</param>
/// <param name="MaxDb">What is left where it is largest, dB, with its sign.</param>
/// <param name="MaxAtHz">Where that is, Hz.</param>
/// <param name="Octaves">The same by octaves.</param>
public sealed record ResponseDifference(double LevelDb, double RmsDb, double MaxDb, double MaxAtHz, IReadOnlyList<OctaveDifference> Octaves)
{
    private const double ReferencePressure = 20e-6;

    /// <summary>Compares the responses over the later job's band.</summary>
    public static ResponseDifference Of(EarpieceResponse old, EarpieceResponse now, Target target)
    {
        double[] hz = now.Hz, change = [.. hz.Select((_, k) => Db(now, k) - Db(old, k))];
        double[] level = Weights(hz, target.LevelLowHz, target.LevelHighHz), shape = Weights(hz, target.BandLowHz, target.BandHighHz);
        var whole = ResponseChange.Of(hz, change, level, shape);
        // Octaves about 1000·2ⁿ Hz, edges a half octave away (IEC 61260-1, base 2).
        OctaveDifference[] octaves = [.. Enumerable.Range(-6, 12)
            .Select(n => 1000 * Math.Pow(2, n))
            .Select(centre => (Centre: centre, In: Enumerable.Range(0, hz.Length)
                .Where(k => shape[k] > 0 && hz[k] >= centre / Math.Sqrt(2) && hz[k] < centre * Math.Sqrt(2))
                .Select(k => change[k] - whole.LevelDb).ToArray()))
            .Where(octave => octave.In.Length > 0)
            .Select(octave => new OctaveDifference(
                octave.Centre, octave.In.Average(), Math.Sqrt(octave.In.Average(left => left * left)), octave.In.MaxBy(Math.Abs)))];
        return new(whole.LevelDb, whole.RmsDb, whole.MaxDb, whole.MaxAtHz, octaves);
    }

    /// <summary>Even weights on the grid, which is even on log frequency, within a band.</summary>
    private static double[] Weights(double[] hz, double low, double high)
    {
        int inside = hz.Count(f => f >= low && f <= high);
        return [.. hz.Select(f => f >= low && f <= high ? 1.0 / inside : 0)];
    }

    private static double Db(EarpieceResponse response, int k) => 20 * Math.Log10(response.Pressure[k].Magnitude / ReferencePressure);
}

/// <summary>The difference within an octave, after the difference of level was taken out.</summary>
/// <param name="Hz">Its middle, Hz.</param>
/// <param name="MeanDb">Mean, dB: new less old.</param>
/// <param name="RmsDb">RMS, dB.</param>
/// <param name="MaxDb">Largest, dB, with its sign.</param>
public sealed record OctaveDifference(double Hz, double MeanDb, double RmsDb, double MaxDb);
