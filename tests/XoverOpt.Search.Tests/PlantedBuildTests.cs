using XoverOpt.Acoustics;
using XoverOpt.Benchmarks;

namespace XoverOpt.Search.Tests;

/// <summary>The benchmark's planted builds: legal, on their own target, and no harder to judge than any other build.</summary>
public class PlantedBuildTests
{
    [Theory]
    [InlineData(1, nameof(PlantedKind.All))]
    [InlineData(2, nameof(PlantedKind.All))]
    [InlineData(1, nameof(PlantedKind.Magnitude))]
    [InlineData(2, nameof(PlantedKind.Magnitude))]
    [InlineData(1, nameof(PlantedKind.Legal))]
    [InlineData(2, nameof(PlantedKind.Legal))]
    public void Plant_AnySeedAndKind_IsOnTargetAndKeepsEveryLimit(int seed, string kind)
    {
        PlantedBuild plant = Plant(SmallProblem.TwoWay(), seed, kind);
        RankedBuild judged = new BuildEvaluation(plant.Problem).Judge(plant.Build.Earpiece);

        Assert.True(judged.Figures.MagnitudeMaxDb < 0.02, $"{judged.Figures.MagnitudeMaxDb} dB");
        Assert.True(judged.Feasible, string.Join("; ", judged.BrokenLimits));
        Assert.Equal(0, judged.Cost.Penalty);
        Assert.Equal(judged.Cost, plant.Build.Cost);
        Assert.Equal(judged.Key, plant.Build.Key);
    }

    /// <summary>Source: the plain form of the model, which does not share the kernel's arithmetic. The frequencies lie between grid points.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Plant_AnySeed_TargetIsThePlainFormsLevel(int seed)
    {
        PlantedBuild plant = Plant(SmallProblem.ThreeWay(), seed, nameof(PlantedKind.Magnitude));
        foreach (double hz in new[] { 37, 410, 1015, 2950, 7777.0 })
        {
            double pressure = PlainResponse.At(plant.Build.Earpiece, plant.Problem.Ear, plant.Problem.Source, 2 * Math.PI * hz).DrumPressure.Magnitude;

            Assert.Equal(20 * Math.Log10(pressure / 20e-6), plant.Problem.Target.Curve.At(hz), 0.02);
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Plant_AnySeed_EveryValueIsInTheLists(int seed)
    {
        Problem problem = SmallProblem.ThreeWay();
        PlantedBuild plant = Plant(problem, seed, nameof(PlantedKind.All));

        Assert.True(new LayoutSpace(problem).Allows(plant.Layout));
        foreach ((Way way, WayChoice choice) in plant.Build.Earpiece.Ways.Zip(problem.Ways))
        {
            Assert.Contains(way.Receiver, choice.Receivers.Select(receiver => receiver.Receiver));
            Assert.Contains(way.DamperResistance, Values(choice.Dampers));
            TubeSegment tube = Assert.Single(way.Tube);
            Assert.Contains(tube.Bore, Values(choice.Bores));
            Assert.InRange(tube.Length, choice.TubeMin, choice.TubeMax);
            Assert.Equal(tube.Length, Problem.CutLength(Math.Round(tube.Length / problem.TubeStep), problem.TubeStep));
            Assert.All(way.Network.Select(section => section.Resistance).OfType<double>(), ohm => Assert.Contains(ohm, Values(problem.Passives.Resistors)));
            Assert.All(way.Network.Select(section => section.Capacitance).OfType<double>(), farad => Assert.Contains(farad, Values(problem.Passives.Capacitors)));
            Assert.All(way.Network.Select(section => section.Inductance).OfType<double>(), henry => Assert.Contains(henry, Values(problem.Passives.Coils)));
        }
    }

    [Fact]
    public void Plant_SameSeedTwice_SameBuildAndAnotherSeedAnother()
    {
        string Key(int seed) => Plant(SmallProblem.ThreeWay(), seed, nameof(PlantedKind.All)).Build.Key;

        Assert.Equal(Key(1), Key(1));
        Assert.NotEqual(Key(1), Key(2));
    }

    [Fact]
    public void Plant_MagnitudeOnly_CostsNothingToSpeakOf()
    {
        // An RMS error of 0.01 dB against a tolerance of 6 dB costs (2 · 0.01 / 6)².
        Assert.InRange(Plant(SmallProblem.ThreeWay(), 1, nameof(PlantedKind.Magnitude)).Build.Cost.Total, 0, 1.2e-5);
    }

    [Fact]
    public void Plant_LimitsOutOfReach_AreOpenedToTheBuildAndOthersStay()
    {
        Problem problem = SmallProblem.TwoWay();
        var limits = new Limits { MinImpedance = 1e5, MinSplAt100mV = 10, MaxReceivers = 3, MinPeakSpl = [new(1000, 300), new(500, 20)] };
        PlantedBuild plant = Plant(problem with { Limits = limits }, 1, nameof(PlantedKind.All));

        Limits opened = plant.Problem.Limits;
        Assert.Equal(plant.Build.Figures.ImpedanceMinOhm, opened.MinImpedance);
        Assert.Equal(10, opened.MinSplAt100mV);
        Assert.Equal(3, opened.MaxReceivers);
        // Levels cost something from 0.05 dB above their limit on, so an opened one leaves the planted build 0.06 dB.
        Assert.Equal(plant.Build.Figures.Headroom.Single(peak => peak.Hz == 1000).Db - 0.06, opened.MinPeakSpl[0].Db, 1e-9);
        Assert.Equal(new PeakSpl(500, 20), opened.MinPeakSpl[1]);
    }

    [Fact]
    public void Plant_StockFallsShortOfEveryBuild_GivesNone()
    {
        Problem problem = SmallProblem.TwoWay();

        Assert.Null(PlantedBuild.Plant(problem with { Limits = new Limits { StockOnly = true, Sets = 100_000 } }, 1, PlantedKind.All));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Search_OfPlantedBuild_FindsOneThatCostsNoMore(int seed)
    {
        PlantedBuild plant = Plant(SmallProblem.TwoWay(20_000, seed: 9), seed, nameof(PlantedKind.All));
        RankedBuild best = SearchRunner.Run(new LayoutSearch(plant.Problem)).Result().Builds[0];

        Assert.True(best.Feasible, string.Join("; ", best.BrokenLimits));
        Assert.True(best.Cost.Total <= 1.01 * plant.Build.Cost.Total, $"{best.Cost.Total} against {plant.Build.Cost.Total}");
    }

    [Fact]
    public void Likeness_OfBuildsFurtherAndFurtherAway_SaysHowFar()
    {
        PlantedBuild plant = Plant(SmallProblem.TwoWay(), 1, nameof(PlantedKind.All));
        Earpiece own = plant.Build.Earpiece;
        Earpiece With(Func<Way, Way> change) => new([change(own.Ways[0]), .. own.Ways.Skip(1)]);

        Assert.Equal("build", plant.Likeness(new([.. own.Ways.Reverse()])));
        Assert.Equal("layout", plant.Likeness(With(way => way with { DamperResistance = way.DamperResistance + 1e5 })));
        Assert.Equal("receivers", plant.Likeness(With(way => way with { Tube = [new(0.01, 9e-3)] })));
        Assert.Equal("other", plant.Likeness(With(way => way with { Count = way.Count + 1 })));
    }

    private static PlantedBuild Plant(Problem problem, int seed, string kind) =>
        PlantedBuild.Plant(problem, (ulong)seed, Enum.Parse<PlantedKind>(kind)) ?? throw new InvalidOperationException("Nothing was planted.");

    private static IEnumerable<double> Values(IEnumerable<StockValue> list) => list.Select(value => value.Value);
}
