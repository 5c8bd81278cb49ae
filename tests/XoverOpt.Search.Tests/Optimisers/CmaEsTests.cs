namespace XoverOpt.Search.Tests;

/// <summary>Ends of a CMA-ES, its restarts and its settings.</summary>
public class CmaEsTests
{
    // Auger and Hansen 2005, and tests/data/optimisers: with the smallest population none of 25 runs solves Rastrigin in 5 dimensions.
    [Fact]
    public void Restarts_RastriginInFiveDimensions_AreSolvedWhereThePlainRunIsNot()
    {
        Func<double[], double> cost = TestFunctions.InBox("rastrigin", 5);
        long?[] plain = [.. Enumerable.Range(0, 15).Select(seed => OptimiserDriver.Run(new CmaEs(Rastrigin(seed)), cost, 1e-8))];
        long?[] restarting = [.. Enumerable.Range(0, 15).Select(seed => OptimiserDriver.Run(new RestartingCmaEs(Rastrigin(seed)), cost, 1e-8))];
        TestContext.Current.TestOutputHelper?.WriteLine($"plain {plain.Count(e => e is not null)} of 15; restarting {string.Join(' ', restarting)}");

        Assert.InRange(plain.Count(e => e is not null), 0, 3);
        Assert.All(restarting, evaluations => Assert.NotNull(evaluations));
    }

    [Fact]
    public void Restarts_EndedDescents_DoubleAndSayWhyTheyEnded()
    {
        var optimiser = new RestartingCmaEs(Rastrigin(1));
        OptimiserDriver.Run(optimiser, TestFunctions.InBox("rastrigin", 5), 1e-8);

        Assert.NotEmpty(optimiser.Ended);
        Assert.Equal(optimiser.Ended.Select((_, i) => 8 << i), optimiser.Ended.Select(descent => descent.Population));
        Assert.All(optimiser.Ended, descent => Assert.False(descent.Stop is OptimiserStop.EvaluationsUsed or OptimiserStop.TargetReached));
        Assert.All(optimiser.Ended, descent => Assert.True(descent.Best!.Cost >= optimiser.Best!.Cost && descent.Evaluations > 0));
    }

    [Fact]
    public void Restarts_BudgetUsed_CountTheLastDescentToo()
    {
        var optimiser = new RestartingCmaEs(new CmaEsSettings(3, 2) { MaxEvaluations = 5000 });
        OptimiserDriver.Run(optimiser, TestFunctions.InBox("schaffersF7", 100));

        Assert.True(optimiser.Ended.Count > 1);
        Assert.Equal(optimiser.Evaluations, optimiser.Ended.Sum(descent => descent.Evaluations));
        Assert.Equal(optimiser.Best!.Cost, optimiser.Ended.Min(descent => descent.Best!.Cost));
    }

    public static TheoryData<string, OptimiserStop> Ends => new()
    {
        { "target", OptimiserStop.TargetReached },
        { "budget", OptimiserStop.EvaluationsUsed },
        { "sphere", OptimiserStop.CostTolerance },
        { "narrow", OptimiserStop.StepTolerance },
        { "level", OptimiserStop.Flat },
        { "noise", OptimiserStop.Stagnation },
        { "cigar", OptimiserStop.Condition },
        { "rounding", OptimiserStop.NoEffect },
    };

    [Theory]
    [MemberData(nameof(Ends))]
    public void Tell_UntilItEnds_SaysWhy(string what, OptimiserStop expected)
    {
        Func<double[], double> sphere = TestFunctions.InBox("sphere", 1);
        var noise = new Random64(9);
        var settings = new CmaEsSettings(4, 5) { MaxEvaluations = 200_000 };
        CmaEsSettings endless = settings with { CostTolerance = 0, StepTolerance = 0 };
        (CmaEsSettings used, Func<double[], double> cost) = what switch
        {
            "target" => (settings with { Target = 1e-3 }, sphere),
            "budget" => (settings with { MaxEvaluations = 100 }, sphere),
            "sphere" => (settings, sphere),
            "narrow" => (settings with { CostTolerance = 0, StepTolerance = 1e-4 }, sphere),
            "level" => (settings, _ => 3),
            "noise" => (settings, _ => noise.NextDouble()),
            "cigar" => (endless, x => x[0] + (1e18 * x.Skip(1).Sum(v => Math.Pow(v - 0.4, 2)))),
            "rounding" => (endless, x => Math.Sqrt(Math.Sqrt(x.Sum(v => Math.Abs(v - 0.7))))),
            _ => throw new ArgumentException(what, nameof(what)),
        };

        var optimiser = new CmaEs(used);
        OptimiserDriver.Run(optimiser, cost);

        Assert.Equal(expected, optimiser.Stopped);
    }

    [Fact]
    public void Settings_OutOfRange_AreAllNamed()
    {
        var settings = new CmaEsSettings(3, 1) { Start = [0, 2, 1], Sigma = 0, Population = 3 };
        ArgumentException fault = Assert.Throws<ArgumentException>(() => new CmaEs(settings));
        Assert.All(["Start", "Sigma", "Population"], name => Assert.Contains(name, fault.Message, StringComparison.Ordinal));
        Assert.Throws<ArgumentException>(() => new RestartingCmaEs(new CmaEsSettings(0, 1)));
    }

    // Auger and Hansen 2005 start evenly in the box with half of it as deviation.
    private static CmaEsSettings Rastrigin(int seed) => new(5, (ulong)seed) { Sigma = 0.5, MaxEvaluations = 200_000 };
}
