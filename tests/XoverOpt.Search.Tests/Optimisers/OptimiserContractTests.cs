using System.Runtime.InteropServices;
using System.Security.Cryptography;

namespace XoverOpt.Search.Tests;

/// <summary>What every optimiser keeps to: the sequence, saving, bounds, odd costs, the order of ask and tell.</summary>
public class OptimiserContractTests
{
    public static TheoryData<string> Kinds => ["cma-es", "restarting-cma-es", "success-history-de", "reducing-de"];

    // First 8 bytes of the SHA-256 of 3000 asked points, recorded: another process has to find the same bits. Recorded on x64 Linux; elsewhere exp, log and pow
    // of the system's C library may differ in the last bit.
    [Theory]
    [InlineData("cma-es", "15575BCFFBAAB845")]
    [InlineData("restarting-cma-es", "D52C53945F194411")]
    [InlineData("success-history-de", "B537338CE9B3C234")]
    [InlineData("reducing-de", "C54BAF6FEB0E85C4")]
    public void Ask_OfTheSameSeed_IsTheSameSequenceHereAndInAnotherProcess(string kind, string recorded)
    {
        string first = Fingerprint(kind, 7), again = Fingerprint(kind, 7), other = Fingerprint(kind, 8);

        Assert.Equal(first, again);
        Assert.NotEqual(first, other);
        Assert.Equal(recorded, first);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Save_ThroughJsonInEveryGeneration_GoesOnBitForBit(string kind)
    {
        Func<double[], double> cost = TestFunctions.InBox("rastrigin", 5);
        IOptimiser whole = OptimiserDriver.Create(kind, 4, 3, 6000), broken = OptimiserDriver.Create(kind, 4, 3, 6000);
        int generations = 0;
        while (whole.Stopped is null)
        {
            double[][] points = whole.Ask();
            broken.Ask();
            broken = OptimiserDriver.ThroughJson(broken);
            double[][] asked = broken.Ask();
            Assert.Equal(points.Length, asked.Length);
            for (int k = 0; k < points.Length; k++)
            {
                Assert.True(
                    MemoryMarshal.AsBytes<double>(points[k]).SequenceEqual(MemoryMarshal.AsBytes<double>(asked[k])),
                    $"generation {generations}, point {k}");
            }

            double[] costs = [.. points.Select(cost)];
            whole.Tell(costs);
            broken.Tell(costs);
            broken = OptimiserDriver.ThroughJson(broken);
            Assert.Equal(OptimiserDriver.Json(whole), OptimiserDriver.Json(broken));
            generations++;
        }

        Assert.True(generations > 50, $"only {generations} generations");
        Assert.Equal(whole.Stopped, broken.Stopped);
        Assert.Empty(broken.Ask());
    }

    // The best lies in a corner and the slopes press outwards, so that bounds are met all the time.
    [Theory]
    [MemberData(nameof(Kinds))]
    public void Ask_CostThatFallsTowardsACorner_StaysInBoundsAndGetsThere(string kind)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 5, 2, 20_000);
        double Cost(double[] x)
        {
            Assert.All(x, value => Assert.InRange(value, 0, 1));
            return x[0] + Math.Pow(x[1], 2) - x[2] - x[3] + Math.Abs(x[4] - 0.25);
        }

        OptimiserDriver.Run(optimiser, Cost);

        double[] corner = [0, 0, 1, 1, 0.25];
        Assert.All(optimiser.Best!.Point.Zip(corner), pair => Assert.Equal(pair.Second, pair.First, 1e-4));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Tell_NoNumberAndInfinityOverMostOfTheCube_FindsTheBestOfTheRest(string kind)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 3, 4, 20_000);
        Func<double[], double> sphere = TestFunctions.InBox("sphere", 1);

        OptimiserDriver.Run(optimiser, x => x[0] < 0.4 ? double.NaN : x[1] < 0.4 ? double.PositiveInfinity : sphere(x), 1e-8);

        Assert.True(sphere(optimiser.Best!.Point) < 1e-6);
        Assert.Equal(sphere(optimiser.Best.Point), optimiser.Best.Cost);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Tell_NothingButNoNumber_EndsWithoutAFiniteBest(string kind)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 3, 4, 3000);

        OptimiserDriver.Run(optimiser, _ => double.NaN);

        Assert.Equal(kind == "cma-es" ? OptimiserStop.Flat : OptimiserStop.EvaluationsUsed, optimiser.Stopped);
        Assert.Equal(double.PositiveInfinity, optimiser.Best!.Cost);
    }

    // Noise with a deviation of 1 % of the range: the true cost of the best seen is far below what even points have (n/3).
    [Theory]
    [MemberData(nameof(Kinds))]
    public void Tell_NoisyCosts_StillFallsToTheNoise(string kind)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 5, 6, 5000);
        Func<double[], double> sphere = TestFunctions.InBox("sphere", 1);
        var noise = new Random64(77);

        OptimiserDriver.Run(optimiser, x => sphere(x) + (0.1 * (noise.NextDouble() - 0.5)));

        Assert.InRange(sphere(optimiser.Best!.Point), 0, 0.1);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Ask_Budget_IsNotExceededAndNearlyUsed(string kind)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 5, 6, 1234);
        Func<double[], double> cost = TestFunctions.InBox("rosenbrock", 2);
        int evaluations = 0;

        OptimiserDriver.Run(optimiser, x =>
        {
            evaluations++;
            return cost(x);
        });

        Assert.Equal(evaluations, optimiser.Evaluations);
        Assert.InRange(evaluations, 1234 - 30, 1234);
        Assert.Equal(OptimiserStop.EvaluationsUsed, optimiser.Stopped);
        Assert.Empty(optimiser.Ask());
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Ask_BudgetBelowOneGeneration_AsksNothing(string kind)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 5, 6, 3);

        Assert.Empty(optimiser.Ask());
        Assert.Equal(OptimiserStop.EvaluationsUsed, optimiser.Stopped);
        Assert.Null(optimiser.Best);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void AskAndTell_OutOfStep_AreSafe(string kind)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 2, 1);

        double[][] points = optimiser.Ask();

        Assert.Same(points, optimiser.Ask());
        Assert.Throws<ArgumentException>(() => optimiser.Tell(new double[points.Length - 1]));
        optimiser.Tell([.. points.Select(TestFunctions.InBox("sphere", 1))]);
        Assert.Throws<ArgumentException>(() => optimiser.Tell(new double[points.Length]));
        Assert.Equal(points.Length, optimiser.Evaluations);
    }

    private static string Fingerprint(string kind, ulong seed)
    {
        IOptimiser optimiser = OptimiserDriver.Create(kind, 6, seed, 3000);
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        OptimiserDriver.Run(optimiser, x =>
        {
            hash.AppendData(MemoryMarshal.AsBytes<double>(x));
            return TestFunctions.Value("sphere", x) - x[0] + (10 * x[1] * x[2]);
        });
        return Convert.ToHexString(hash.GetHashAndReset())[..16];
    }
}
