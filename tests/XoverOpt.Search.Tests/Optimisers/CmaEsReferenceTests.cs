using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Search.Tests;

/// <summary>
/// Evaluations to a cost of 1e-8 against those of a reference CMA-ES (tests/data/optimisers; its SOURCE.md says where the runs start), 25
/// seeds. The box is twenty times as wide as the region of the starts, so that its bounds play no part, as the reference has none.
/// </summary>
public class CmaEsReferenceTests
{
    private const double Half = 100;

    public static TheoryData<string, int, int> Rows =>
        [.. ReferenceTable.Read("optimisers", "cmaes_reference_runs.csv").Rows
            .Select(row => (row.Text("func"), (int)row.Number("dim"), (int)row.Number("popsize")))];

    // The medians within 15 %. Successes are binomial: from each other by no more than four standard deviations of the difference.
    [Theory]
    [MemberData(nameof(Rows))]
    public void Descend_TwentyFiveSeeds_TakesAboutTheReferenceEvaluations(string function, int dimensions, int population)
    {
        ReferenceTable.Row row = ReferenceTable.Read("optimisers", "cmaes_reference_runs.csv").Rows.Single(
            row => row.Text("func") == function && row.Number("dim") == dimensions && row.Number("popsize") == population);
        int runs = (int)row.Number("runs");
        long[] solved = [.. Enumerable.Range(0, runs)
            .Select(seed => Run(function, dimensions, population, (ulong)seed, row.Number("target"))).OfType<long>().Order()];
        double median = solved.Length == 0 ? double.NaN : (solved[(solved.Length - 1) / 2] + solved[solved.Length / 2]) / 2.0;
        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{function} {dimensions}-D, population {population}: {solved.Length} of {runs}, median {median}; "
            + $"reference {row.Text("successes")}, {row.Text("median_evals")}");

        double share = (solved.Length + row.Number("successes")) / (2 * runs);
        double difference = Math.Abs(solved.Length - row.Number("successes")) / runs;
        Assert.True(
            difference <= 4 * Math.Sqrt(2 * share * (1 - share) / runs),
            $"{solved.Length} of {runs} solved, {row.Text("successes")} by the reference");
        if (row.Number("successes") >= 10)
        {
            Assert.InRange(median / row.Number("median_evals"), 0.85, 1.15);
        }
    }

    private static long? Run(string function, int dimensions, int population, ulong seed, double target)
    {
        var random = new Random64(1000 + seed);
        CmaEsSettings settings = new(dimensions, seed)
        {
            Start = [.. Enumerable.Range(0, dimensions).Select(_ => 0.5 + (((10 * random.NextDouble()) - 5) / (2 * Half)))],
            Sigma = 1 / (2 * Half),
            Population = population,
            MaxEvaluations = 200_000,
        };
        return OptimiserDriver.Run(new CmaEs(settings), TestFunctions.InBox(function, Half), target);
    }
}
