using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

public class SourceSpreadTests
{
    private static readonly Problem _problem = SmallProblem.TwoWay();

    private static Earpiece Resistive(double ohm) => new([new(
        "even",
        SmallProblem.Mid1.Receiver with { DcResistance = ohm, Inductance = null, SemiInductance = null, ForceFactor = 1e-4 },
        1, Wiring.Parallel, Polarity.Normal, [], 0, [new(10e-3, 1.5e-3)])]);

    private static Earpiece Real() => new(
    [
        new("low", SmallProblem.Low3.Receiver, 2, Wiring.Parallel, Polarity.Normal, [new(SectionPlace.Series, Resistance: 15)], 680e5, [new(12e-3, 1.5e-3)]),
        new("high", SmallProblem.High1.Receiver, 1, Wiring.Parallel, Polarity.Normal, [new(SectionPlace.Series, Capacitance: 2.2e-6)], 1500e5, [new(10e-3, 1.5e-3)]),
    ]);

    // A voltage divider: a load of R alike at every frequency loses level and no shape.
    [Fact]
    public void Of_AResistiveLoad_IsTheVoltageDivider()
    {
        SourceSpread spread = SourceSpread.Of(Resistive(32), _problem, new());

        Assert.Equal(32, spread.LowestLoadOhm, 1e-3);
        Assert.All(spread.ImpedanceDeg, degrees => Assert.Equal(0, degrees, 0.01));
        Assert.All(spread.Changes, change =>
        {
            Assert.Equal(20 * Math.Log10((32 + _problem.Source.Resistance) / (32 + change.Ohm)), change.Change.LevelDb, 1e-3);
            Assert.Equal(0, change.Change.MaxDb, 1e-3);
        });
        Assert.All(spread.Pads, pad => Assert.Equal((null, null, true), (pad.SeriesOhm, pad.ParallelOhm, pad.Holds)));
    }

    // IEC 61938: 120 Ω.
    [Fact]
    public void Of_UsualSources_ReachFromNearNothingToTheHeadphoneStandard()
    {
        IReadOnlyList<double> ohms = new SourceSettings().Ohms;

        Assert.Equal((0.1, 120.0), (ohms[0], ohms[^1]));
    }

    [Fact]
    public void Of_ARealBuild_ChangesAsTheEarpieceEvaluatedOnThatSource()
    {
        SourceSpread spread = SourceSpread.Of(Real(), _problem, new() { Ohms = [0.5, 33] });
        foreach (SourceChange change in spread.Changes)
        {
            for (int k = 0; k < spread.Hz.Count; k += 20)
            {
                Complex At(double ohm) => PlainResponse.At(Real(), _problem.Ear, new(0.1, ohm), 2 * Math.PI * spread.Hz[k]).DrumPressure;
                Assert.Equal(20 * Math.Log10((At(change.Ohm) / At(_problem.Source.Resistance)).Magnitude), change.ChangeDb[k], 1e-9);
            }
        }
    }

    // By chain matrices: source and in-line resistor, resistor across, then the build's impedance.
    [Fact]
    public void Pads_OfARealBuild_HoldTheResponseByAnIndependentCalculation()
    {
        SourceSpread spread = SourceSpread.Of(Real(), _problem, new() { WithinDb = 1, LeastLoadOhm = 4 });
        double[] octave = [.. spread.Hz.Select((hz, k) => hz >= 200 * 0.999 && hz <= 2000 * 1.001 ? 1.0 : 0)];

        Assert.Contains(spread.Pads, pad => pad is { Holds: true, ParallelOhm: not null } && pad.BareMaxDb > 2);
        foreach (SourcePad pad in spread.Pads)
        {
            Assert.Contains(_problem.Passives.Resistors, part => pad.ParallelOhm is null || part.Value == pad.ParallelOhm);
            Assert.True(pad.LowestLoadOhm >= 4);
            Assert.Equal(pad.Holds, pad.MaxDb <= 1);
            double worst = 0;
            foreach (double ohm in new SourceSettings().Ohms.Where(ohm => ohm <= pad.UpToOhm))
            {
                double[] db = [.. spread.Hz.Select((_, k) =>
                {
                    var y = Complex.Reciprocal(Complex.FromPolarCoordinates(spread.ImpedanceOhm[k], spread.ImpedanceDeg[k] * Math.PI / 180));
                    TwoPort padded = TwoPort.Series(ohm + (pad.SeriesOhm ?? 0)) * TwoPort.Shunt(1 / pad.ParallelOhm ?? 0);
                    return -20 * Math.Log10((padded.A + (padded.B * y)).Magnitude / (1 + (spread.OwnOhm * y)).Magnitude);
                })];
                double mean = db.Zip(octave, (value, weight) => value * weight).Sum() / octave.Sum();
                worst = Math.Max(worst, db.Where((_, k) => spread.Hz[k] is >= 20 and <= 16000).Max(value => Math.Abs(value - mean)));
            }

            // The mean over the band's cells and over its points differ a little.
            Assert.Equal(pad.MaxDb, worst, 0.03);
        }

        // More to hold costs more.
        Assert.True(spread.Pads.Zip(spread.Pads.Skip(1)).All(pair => !pair.Second.Holds || pair.Second.LevelDb <= pair.First.LevelDb + 1e-9));
    }
}
