namespace XoverOpt.Search.Tests;

/// <summary>Differential evolution with success history on usual test functions, smallest cost 0.</summary>
public class SuccessHistoryDeTests
{
    // Tanabe and Fukunaga 2013 and 2014 solve functions of these kinds in 30 dimensions; here small ones, every one of five seeds.
    [Theory]
    [InlineData("sphere", false)]
    [InlineData("ellipsoid1e6", false)]
    [InlineData("rosenbrock", false)]
    [InlineData("rastrigin", false)]
    [InlineData("ackley", false)]
    [InlineData("sphere", true)]
    [InlineData("ellipsoid1e6", true)]
    [InlineData("rosenbrock", true)]
    [InlineData("rastrigin", true)]
    [InlineData("ackley", true)]
    public void Evolve_FiveSeeds_FindsTheBest(string function, bool reducing)
    {
        long?[] evaluations = [.. Enumerable.Range(0, 5).Select(seed => OptimiserDriver.Run(
            new SuccessHistoryDe(reducing
                ? SuccessHistoryDeSettings.Reducing(5, (ulong)seed, 40_000)
                : new SuccessHistoryDeSettings(5, (ulong)seed) { MaxEvaluations = 80_000 }),
            TestFunctions.InBox(function, 5.12),
            1e-8))];
        TestContext.Current.TestOutputHelper?.WriteLine($"{function}, reducing {reducing}: {string.Join(' ', evaluations)}");

        Assert.All(evaluations, used => Assert.NotNull(used));
    }

    [Fact]
    public void Evolve_Reducing_EndsWithFourMembers()
    {
        var optimiser = new SuccessHistoryDe(SuccessHistoryDeSettings.Reducing(4, 1, 4000));
        int first = optimiser.Ask().Length;
        OptimiserDriver.Run(optimiser, TestFunctions.InBox("rastrigin", 5));

        Assert.Equal(72, first);
        Assert.Equal(4, optimiser.Save().Members.Length);
        Assert.True(optimiser.Save().Archive.Length <= 2.6 * 4);
    }

    [Theory]
    [InlineData("target", OptimiserStop.TargetReached)]
    [InlineData("budget", OptimiserStop.EvaluationsUsed)]
    [InlineData("sphere", OptimiserStop.CostTolerance)]
    [InlineData("narrow", OptimiserStop.StepTolerance)]
    public void Tell_UntilItEnds_SaysWhy(string what, OptimiserStop expected)
    {
        var settings = new SuccessHistoryDeSettings(3, 5) { Population = 20, MaxEvaluations = 100_000 };
        var optimiser = new SuccessHistoryDe(what switch
        {
            "target" => settings with { Target = 1e-3 },
            "budget" => settings with { MaxEvaluations = 100 },
            "narrow" => settings with { CostTolerance = 0, StepTolerance = 1e-4 },
            _ => settings,
        });

        OptimiserDriver.Run(optimiser, TestFunctions.InBox("sphere", 1));

        Assert.Equal(expected, optimiser.Stopped);
    }

    [Fact]
    public void Evolve_StartGiven_IsTheFirstMember()
    {
        var optimiser = new SuccessHistoryDe(new SuccessHistoryDeSettings(3, 5) { Start = [0.1, 0.2, 0.3] });
        Assert.Equal([0.1, 0.2, 0.3], optimiser.Ask()[0]);
    }

    [Fact]
    public void Settings_OutOfRange_AreAllNamed()
    {
        var settings = new SuccessHistoryDeSettings(3, 1)
        {
            Start = [0, 2, 1],
            Population = 3,
            FinalPopulation = 2,
            Memory = 0,
            Archive = -1,
            BestShare = 0,
        };
        ArgumentException fault = Assert.Throws<ArgumentException>(() => new SuccessHistoryDe(settings));
        Assert.All(
            ["Start", "Population", "FinalPopulation", "MaxEvaluations", "Memory", "Archive", "BestShare"],
            name => Assert.Contains(name, fault.Message, StringComparison.Ordinal));
    }
}
