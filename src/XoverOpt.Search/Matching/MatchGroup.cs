using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What is to be matched left to right: so many receivers of a part on each side.</summary>
/// <param name="Name">The way's name, or the part number where there is no build.</param>
/// <param name="PartNumber">The part.</param>
/// <param name="Count">How many on each side, ≥ 1.</param>
/// <param name="Measure">What their difference does.</param>
public sealed record MatchGroup(string Name, string PartNumber, int Count, MatchMeasure Measure)
{
    private const int PointsPerOctave = 6;

    /// <summary>One pair a set of every part that was measured, judged by <see cref="MatchMeasure.Usual"/>.</summary>
    public static IReadOnlyList<MatchGroup> OfParts(IEnumerable<MeasuredReceiver> receivers) =>
        [.. receivers.Select(receiver => receiver.PartNumber).Distinct().Order(StringComparer.Ordinal).Select(part => new MatchGroup(part, part, 1, MatchMeasure.Usual))];

    /// <summary>
    /// The ways of a build, each judged by what a difference of its receivers makes of the eardrum level over the target's band, six points
    /// an octave: slopes by differences of one dB and one percent.
    /// </summary>
    public static IReadOnlyList<MatchGroup> OfBuild(Earpiece build, Problem problem)
    {
        BuildEvaluation evaluation = new(problem);
        (double low, double high) = (problem.Target.BandLowHz, problem.Target.BandHighHz);
        int n = 2 + (int)(PointsPerOctave * Math.Log2(high / low));
        double[] hz = [.. Enumerable.Range(0, n).Select(k => low * Math.Pow(high / low, k / (n - 1.0)))];
        double[] Level(int way, double db, double resonance, double resistance) =>
            [.. evaluation.Response(
                new([.. build.Ways.Select((other, i) => i == way ? other with { Receiver = new SpreadReceiver(other.Receiver, problem.Ear.Air).Of(db, 1 + (resonance / 100), 1 + (resistance / 100)) } : other)]), hz)
                .Pressure.Select(p => 20 * Math.Log10(Complex.Abs(p)))];
        double[] Slope(int way, double db, double resonance, double resistance) =>
            [.. Level(way, db / 2, resonance / 2, resistance / 2).Zip(Level(way, -db / 2, -resonance / 2, -resistance / 2), (up, down) => up - down)];
        return [.. build.Ways.Select((way, i) =>
        {
            double[] s = Slope(i, 1, 0, 0), f = Slope(i, 0, 1, 0), r = Slope(i, 0, 0, 1);
            return new MatchGroup(way.Name, way.Receiver.PartNumber, way.Count, new([.. s.Select((_, k) => new MatchSlopes(s[k], f[k], r[k]))]));
        })];
    }
}
