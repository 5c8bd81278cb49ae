using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>One build in the two unlike ears of a head: what is left of a centred voice.</summary>
/// <param name="LeftRatio">Volume of the left ear over the average.</param>
/// <param name="RightRatio">Volume of the right ear over the average.</param>
/// <param name="Difference">Left less right: the level is a matter of balance, the rest is not.</param>
/// <param name="LevelDb">Left less right at every frequency, dB.</param>
/// <param name="PhaseDeg">The same, degrees, from −180 to 180.</param>
/// <param name="MaxPhaseDeg">Its largest up to 1.5 kHz, where ears hear it (common practice, no source), with its sign.</param>
public sealed record EarPair(
    double LeftRatio, double RightRatio, ResponseChange Difference, IReadOnlyList<double> LevelDb, IReadOnlyList<double> PhaseDeg, double MaxPhaseDeg)
{
    private const double PhaseHeardToHz = 1500;

    internal static EarPair Of(Earpiece earpiece, Problem problem, ChangeBands bands, double left, double right)
    {
        PlainResponse[] leftEar = bands.Responses(earpiece, problem.Ear.OfSize(left), problem.Source);
        PlainResponse[] rightEar = bands.Responses(earpiece, problem.Ear.OfSize(right), problem.Source);
        double[] db = [.. leftEar.Zip(rightEar, (one, other) => 20 * Math.Log10((one.DrumPressure / other.DrumPressure).Magnitude))];
        double[] degrees = [.. leftEar.Zip(rightEar, (one, other) => (one.DrumPressure / other.DrumPressure).Phase * 180 / Math.PI)];
        return new(left, right, bands.Judge(db), db, degrees, degrees.Where((_, k) => bands.Hz[k] <= PhaseHeardToHz).MaxBy(Math.Abs));
    }
}
