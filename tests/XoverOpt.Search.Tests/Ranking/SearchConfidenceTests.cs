using FsCheck.Xunit;

namespace XoverOpt.Search.Tests;

/// <summary>
/// The Boender–Rinnooy Kan estimates, checked against the posterior they are the mean of, summed term by term, and against draws from
/// the model itself.
/// </summary>
public class SearchConfidenceTests
{
    // The model of Boender and Rinnooy Kan (1987): every number of optima k equally likely, the k shares of space even over the simplex.
    // Then w of k optima are seen in n starts with probability ∝ C(k, w) / C(n + k − 1, n) (all ways to spread n starts over k optima are
    // alike), and given k the shares seen add up to (n + w) / (n + k) on average (the mean of a Dirichlet distribution).
    [Theory]
    [InlineData(10, 1)]
    [InlineData(10, 3)]
    [InlineData(32, 6)]
    [InlineData(100, 20)]
    [InlineData(30, 12)]
    public void Estimates_AnyCounts_AreTheMeansOfThePosterior(int starts, int optima)
    {
        double weight = 1, sum = 0, number = 0, share = 0;
        for (int k = optima; k < 2_000_000; k++)
        {
            sum += weight;
            number += weight * k;
            share += weight * (starts + optima) / (starts + k);
            // C(k+1, w)/C(k, w) = (k+1)/(k+1−w);  C(n+k−1, n)/C(n+k, n) = k/(n+k).
            weight *= (k + 1.0) / (k + 1 - optima) * k / (starts + k);
        }

        SearchConfidence confidence = SearchConfidence.Of(ConfidenceKind.Values, starts, 1, optima);

        Assert.Equal(number / sum, confidence.ExpectedOptima!.Value, 1e-6 * number / sum);
        Assert.Equal(share / sum, confidence.CoveredShare!.Value, 1e-9);
        Assert.Equal(optima * (optima + 1.0) / (starts * (starts - 1.0)), confidence.ChanceOfNew!.Value, 1e-12);
    }

    // Known cases of the closed form, by hand: w = 1 gives (n−1)/(n−3) and a chance of 2/(n(n−1)).
    [Theory]
    [InlineData(4, 1, 3.0, 1 - (2.0 / 12))]
    [InlineData(11, 1, 1.25, 1 - (2.0 / 110))]
    [InlineData(32, 6, 186.0 / 24, 1 - (42.0 / 992))]
    public void Estimates_WorkedByHand_Agree(int starts, int optima, double expected, double share)
    {
        SearchConfidence confidence = SearchConfidence.Of(ConfidenceKind.Values, starts, 1, optima);

        Assert.Equal(expected, confidence.ExpectedOptima!.Value, 1e-12);
        Assert.Equal(share, confidence.CoveredShare!.Value, 1e-12);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 1)]
    [InlineData(3, 1)]
    [InlineData(8, 6)]
    public void Estimates_TooFewStarts_AreNotGiven(int starts, int optima)
    {
        SearchConfidence confidence = SearchConfidence.Of(ConfidenceKind.Values, starts, 1, optima);

        Assert.Null(confidence.ExpectedOptima);
        Assert.Null(confidence.CoveredShare);
        Assert.Contains("cannot be estimated yet", confidence.Words, StringComparison.Ordinal);
        Assert.Contains($"at least {optima + 3} starts", confidence.Words, StringComparison.Ordinal);
    }

    // Problems drawn from the model with a known number of optima, 1 to 40 and 10 000 of each. Where 15 starts saw at most 4 optima (more
    // than 40 are then out of the question), one start more is new as often as foretold, and as many optima are there as expected.
    [Fact]
    public void Estimates_OnProblemsWithKnownOptima_ComeTrueOnAverage()
    {
        const int Starts = 15;
        var random = new Random64(11);
        double foretold = 0, found = 0, expected = 0, there = 0;
        for (int trial = 0; trial < 400_000; trial++)
        {
            // Shares of space even over the simplex are the gaps between uniform draws.
            double[] edges = [.. Enumerable.Range(0, trial % 40).Select(_ => random.NextDouble())];
            Array.Sort(edges);
            int Start() => ~Array.BinarySearch(edges, random.NextDouble());
            var seen = new HashSet<int>();
            for (int start = 0; start < Starts; start++)
            {
                seen.Add(Start());
            }

            if (seen.Count <= 4)
            {
                SearchConfidence confidence = SearchConfidence.Of(ConfidenceKind.Values, Starts, 1, seen.Count);
                foretold += confidence.ChanceOfNew!.Value;
                expected += confidence.ExpectedOptima!.Value;
                there += edges.Length + 1;
                found += seen.Contains(Start()) ? 0 : 1;
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"new: foretold {foretold:0}, found {found:0}; optima: expected {expected:0}, there {there:0}");
        Assert.True(found > 2000);
        // Three standard deviations of a count of some thousands, √N.
        Assert.InRange(found, foretold - (3 * Math.Sqrt(foretold)), foretold + (3 * Math.Sqrt(foretold)));
        Assert.InRange(expected / there, 0.98, 1.02);
    }

    // Real descents on a cost with a known number of optima: 1 + cos(2πmx)/2 on the unit interval has m minima, all as deep and as wide.
    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(6)]
    public void OfStarts_DescentsOnAWavyCost_CountItsOptima(int optima)
    {
        var random = new Random64(5);
        var ends = new List<double[]>();
        var costs = new List<double>();
        for (int start = 0; start < 60; start++)
        {
            double[] at = [random.NextDouble()];
            LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(
                (x, equations) =>
                {
                    double turn = 2 * Math.PI * optima, wave = 1 + (0.5 * Math.Cos(turn * x[0]));
                    equations.Reset(1);
                    equations.Add(wave, [-0.5 * turn * Math.Sin(turn * x[0])]);
                    return wave * wave;
                },
                at,
                500,
                1e-9);
            ends.Add(at);
            costs.Add(outcome.Cost);
        }

        SearchConfidence confidence = SearchConfidence.OfStarts(costs, ends);

        Assert.Equal((60, optima), (confidence.Starts, confidence.Optima));
        Assert.Equal(optima, confidence.ExpectedOptima!.Value, 0.9);
        Assert.InRange(confidence.InBest, 60 / optima / 3, 60);
        Assert.Equal(1, SearchConfidence.OfStarts(costs).Optima);
    }

    [Fact]
    public void OfStarts_EqualCostsInDifferentPlaces_AreDifferentOptima()
    {
        Assert.Equal(2, SearchConfidence.OfStarts([1, 1.001, 1], [[0.1, 0.5], [0.15, 0.45], [0.1, 0.9]]).Optima);
        Assert.Equal(1, SearchConfidence.OfStarts([1, 1.001, 1]).Optima);
        Assert.Equal(2, SearchConfidence.OfStarts([1, 1.01, 1]).Optima);
    }

    [Fact]
    public void OfStarts_BestKnownFoundOtherwise_SaysThatNoneReachedIt()
    {
        SearchConfidence confidence = SearchConfidence.OfStarts([1, 1, 1, 1, 1.2], bestKnown: 0.9);

        Assert.Equal(0, confidence.InBest);
        Assert.Equal(4, SearchConfidence.OfStarts([1, 1, 1, 1, 1.2], bestKnown: 0.999).InBest);
        Assert.Contains("none ended in the best optimum", confidence.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void OfStarts_StartsThatReachedNothing_AreLeftOut() =>
        Assert.Equal((2, 2, 1), SearchConfidence.OfStarts([double.PositiveInfinity, 2, double.NaN, 2]) is var c ? (c.Starts, c.InBest, c.Optima) : default);

    [Fact]
    public void OfStarts_NotAPlaceACost_IsRefused() => Assert.Throws<ArgumentException>(() => SearchConfidence.OfStarts([1, 2], [[0.5]]));

    [Property]
    public bool OfStarts_AnyOrder_IsTheSame(ulong seed)
    {
        var random = new Random64(seed);
        (double Cost, double[] Place)[] ends = [.. Enumerable.Range(0, 1 + random.Below(30)).Select(i => (1 + (0.1 * random.Below(4)) + (1e-9 * i), new[] { random.Below(3) / 2.0 }))];
        (double Cost, double[] Place)[] shuffled = [.. ends.Select(end => (end, At: random.Next())).OrderBy(pair => pair.At).Select(pair => pair.end)];

        return SearchConfidence.OfStarts([.. ends.Select(end => end.Cost)], [.. ends.Select(end => end.Place)])
            == SearchConfidence.OfStarts([.. shuffled.Select(end => end.Cost)], [.. shuffled.Select(end => end.Place)]);
    }

    [Fact]
    public void OfRepetitions_OfASearch_GoByTheLayoutFound()
    {
        SearchConfidence confidence = SearchConfidence.OfRepetitions([2, 1, 1, 3, 1.1], ["b", "a", "a", "b", "c"]);

        Assert.Equal((ConfidenceKind.Layouts, 5, 2, 3), (confidence.Kind, confidence.Starts, confidence.InBest, confidence.Optima));
        Assert.Equal(0, SearchConfidence.OfRepetitions([2, 1], ["b", "a"], "z").InBest);
    }

    [Fact]
    public void Words_EnoughStarts_SayWhatIsSeenWhatIsMissedAndTheOdds() => Assert.Equal(
        "32 independent starts for the layout that is best with ideal values: 21 ended in the best optimum, 6 different optima seen; an estimated 2 more exist that were not seen; "
        + "the chance that one more start finds a new one is about 4.2 %. A new one need not be better.",
        SearchConfidence.Of(ConfidenceKind.Values, 32, 21, 6).Words);
}
