using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>The small problems with a spread of receivers and tolerances of parts, as the drawer states them.</summary>
internal static class SpreadProblem
{
    public static readonly Spread Usual = new(1, 4, 5);

    public static Problem ThreeWay() => With(SmallProblem.ThreeWay(), Usual, 10);

    public static Problem With(Problem problem, Spread? spread, double? tolerancePercent) => problem with
    {
        Ways = [.. problem.Ways.Select(way => way with
        {
            Receivers = [.. way.Receivers.Select(receiver => receiver with { Spread = spread })],
            Dampers = Toleranced(way.Dampers, tolerancePercent),
        })],
        Passives = new(
            Toleranced(problem.Passives.Resistors, tolerancePercent), Toleranced(problem.Passives.Capacitors, tolerancePercent), Toleranced(problem.Passives.Coils, tolerancePercent)),
    };

    /// <summary>A random build that can be bought.</summary>
    public static Earpiece Build(Problem problem, ulong seed) =>
        SmallProblem.RandomBuild(new ProblemTables(problem, 6), new LayoutSpace(problem), new Random64(seed));

    /// <summary>Runs a study on some threads.</summary>
    public static SpreadResult Run(Problem problem, Earpiece earpiece, SpreadSettings settings, int threads = 2)
    {
        SpreadStudy study = new(problem, earpiece, settings);
        var options = new ParallelOptions { MaxDegreeOfParallelism = threads };
        Parallel.For(0, study.Blocks, options, study.RunBlock);
        Parallel.For(0, study.Columns, options, study.RunColumn);
        return study.Result();
    }

    private static StockValue[] Toleranced(IReadOnlyList<StockValue> values, double? percent) =>
        [.. values.Select(value => value with { TolerancePercent = percent })];
}
