namespace XoverOpt.Search.Tests;

/// <summary>
/// Certified least squares of the NIST Statistical Reference Datasets, to 6 digits: the hard ones by the local method from both published
/// starts, MGH09 from its far start also by the global ones, which see costs alone. The step at which a descent stops, 1e-7 of the box, is
/// fine enough for six digits.
/// </summary>
public class NistRegressionTests
{
    [Theory]
    [InlineData("Misra1a")]
    [InlineData("BoxBOD")]
    [InlineData("Rat43")]
    [InlineData("Thurber")]
    [InlineData("Eckerle4")]
    [InlineData("MGH09")]
    [InlineData("MGH10")]
    [InlineData("MGH17")]
    [InlineData("Bennett5")]
    public void Descend_FromBothPublishedStarts_ReachesTheCertifiedValues(string set)
    {
        foreach (string start in new[] { "start1", "start2" })
        {
            var problem = new NistProblem(set, start);
            double[] unit = [.. problem.Start];
            LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(problem.Equations, unit, 5000, 0);

            AssertCertified(problem, $"{set} {start}", unit, outcome.Cost, outcome.Evaluations);
        }
    }

    [Theory]
    [InlineData("restarting-cma-es")]
    [InlineData("success-history-de")]
    public void Optimise_Mgh09FromItsFarStart_ReachesTheCertifiedValues(string kind)
    {
        for (ulong seed = 0; seed < 5; seed++)
        {
            var problem = new NistProblem("MGH09", "start1");
            IOptimiser optimiser = kind == "restarting-cma-es"
                ? new RestartingCmaEs(new CmaEsSettings(4, seed) { Start = problem.Start, MaxEvaluations = 20_000, CostTolerance = 0 })
                : new SuccessHistoryDe(SuccessHistoryDeSettings.Reducing(4, seed, 20_000) with { Start = problem.Start, CostTolerance = 0 });
            OptimiserDriver.Run(optimiser, problem.Cost);

            AssertCertified(problem, $"MGH09 {kind} {seed}", optimiser.Best!.Point, optimiser.Best.Cost, optimiser.Evaluations);
        }
    }

    private static void AssertCertified(NistProblem problem, string name, double[] point, double cost, long used)
    {
        (double parameters, double sum) = problem.Error(point, cost);
        string found = $"{name}: parameters off by {parameters:G3}, sum of squares by {sum:G3}, {used} evaluations";
        TestContext.Current.TestOutputHelper?.WriteLine(found);
        Assert.True(parameters <= 1e-6 && sum <= 1e-6, found);
    }
}
