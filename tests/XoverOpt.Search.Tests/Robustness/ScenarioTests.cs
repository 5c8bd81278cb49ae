using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

public class ScenarioTests
{
    public static TheoryData<bool> Lists { get; } = [true, false];

    private static IReadOnlyList<Scenario> Of(Problem problem, bool ears) => ears ? EarScenarios.Of(problem) : SourceScenarios.Of(problem);

    [Theory]
    [MemberData(nameof(Lists))]
    public void Of_AnyProblem_HasUnlikeCasesAndWeightsThatAddUpToOne(bool ears)
    {
        Problem problem = SmallProblem.TwoWay();
        foreach (double ohm in new[] { 0, 1, 5.0, 119.9 })
        {
            IReadOnlyList<Scenario> scenarios = Of(problem with { Source = new(0.1, ohm) }, ears);

            Assert.Equal(1, scenarios.Sum(scenario => scenario.Weight), 1e-12);
            Assert.Equal(scenarios.Count, scenarios.Select(scenario => scenario.Name).Distinct().Count());
            Assert.Equal(scenarios.Count, scenarios.Select(scenario => (scenario.Ear, scenario.Source)).Distinct().Count());
        }
    }

    [Theory]
    [MemberData(nameof(Lists))]
    public void Of_FirstCase_IsTheJobItself(bool ears)
    {
        Problem problem = SmallProblem.TwoWay();

        Assert.Equal(problem, Of(problem, ears)[0].Of(problem));
    }

    // IEC 61938 names 120 Ω for headphone outputs.
    [Fact]
    public void SourceScenarios_Of_ReachTheHeadphoneStandard() =>
        Assert.Contains(SourceScenarios.Of(SmallProblem.TwoWay()), scenario => scenario.Source.Resistance == 120);

    // Into a stiff source the level goes with one over the volume: a smaller ear is louder, a leak takes the lows.
    [Fact]
    public void EarScenarios_OnAStiffReceiver_MoveTheLowsAsTheirVolumesSay()
    {
        Problem problem = SmallProblem.TwoWay();
        Receiver stiff = SmallProblem.Low1.Receiver with { Compliance = 1e-7, FrontVolume = 1e-12, SpoutLength = 0.1e-3 };
        var earpiece = new Earpiece([new("stiff", stiff, 1, Wiring.Parallel, Polarity.Normal, [], 0, [])]);
        double Db(Scenario scenario, double hz) =>
            20 * Math.Log10(PlainResponse.At(earpiece, scenario.Ear, scenario.Source, 2 * Math.PI * hz).DrumPressure.Magnitude);
        Dictionary<string, Scenario> by = EarScenarios.Of(problem).ToDictionary(scenario => scenario.Name);
        double own = Db(by["the job's ear"], 100);

        Assert.Equal(-20 * Math.Log10(EarScenarios.SmallEar), Db(by["small ear"], 100) - own, 0.01);
        Assert.Equal(-20 * Math.Log10(EarScenarios.LargeEar), Db(by["large ear"], 100) - own, 0.01);
        Assert.True(Db(by["deep seal"], 100) > own && own > Db(by["shallow seal"], 100));

        // Where the leak's resistance equals the reactance of the ear's air, half the power is gone.
        double R = by["small leak"].Ear.Leak!.Resistance, omega = 2 * Math.PI * 20;
        TwoPort load = problem.Ear.Matrix(omega);
        double corner = 1 / (2 * Math.PI * R * ((load.C / load.A).Imaginary / omega));
        Assert.InRange(corner, 5, 50);
        Assert.Equal(-3.01, Db(by["small leak"], corner) - Db(by["the job's ear"], corner), 0.1);
    }
}
