using System.Diagnostics;
using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Benchmarks;

/// <summary>
/// Times the arithmetic of one candidate of a job, side by side in one run: the vectorised kernel without and with derivatives, the whole
/// cost, and the plain form. Ratios count; the times depend on the machine. One thread; the best of several rounds.
/// <code>dotnet run -c Release --project tests/XoverOpt.Benchmarks -- jobs/quick.json</code>
/// </summary>
internal static class Program
{
    private static int Main(string[] arguments)
    {
        switch (arguments)
        {
            case ["planted", ..]:
                return ReachOptions.Guard(() => PlantedCommand.Run(arguments[1..]));
            case ["reach", ..]:
                return ReachOptions.Guard(() => ReachCommand.Run(arguments[1..]));
            case ["circuit", ..]:
                return ComparisonOptions.Guard(() => ComparisonCircuit.Run(arguments[1..]));
            case ["threads", ..]:
                return ComparisonOptions.Guard(() => ComparisonThreads.Run(arguments[1..]));
            case ["compare", ..]:
                return ComparisonOptions.Guard(() => ComparisonCommand.Run(arguments[1..]));
        }

        Reading<JobDocument> reading = JobFile.Read(arguments.Length > 0 ? arguments[0] : "jobs/quick.json");
        if (!reading.IsGood)
        {
            foreach (Fault fault in reading.Faults)
            {
                Console.Error.WriteLine(fault.Message);
            }

            return 1;
        }

        Problem problem = reading.Value.Problem;
        var space = new LayoutSpace(problem);
        if (space.Draw(new Random64(problem.Effort.Seed)) is not { } layout)
        {
            Console.Error.WriteLine("The job allows no layout.");
            return 2;
        }

        foreach (int density in new[] { 6, 12, 24 })
        {
            Measure(problem, space, layout, density);
        }

        return 0;
    }

    private static void Measure(Problem problem, LayoutSpace space, Layout layout, int density)
    {
        var tables = new ProblemTables(problem, density);
        var kernel = new KernelWorkspace(tables.Grid);
        var workspace = new CostWorkspace(tables);
        var equations = new NormalEquations();
        var candidate = new Candidate(tables, space, layout);
        KernelParameter[] parameters = [.. candidate.Ranges.Select(range => range.Parameter)];
        double[] scale = [.. parameters.Select(_ => 1.0)];
        Earpiece earpiece = candidate.ToEarpiece();

        double plain = Time(200, () =>
        {
            foreach (double omega in tables.Grid.Omega)
            {
                PlainResponse.At(earpiece, problem.Ear, problem.Source, omega);
            }
        });
        double value = Time(4000, () => EarpieceKernel.Evaluate(candidate.Ways, tables.Ear, problem.Source, kernel, [], []));
        double tangents = Time(4000, () => EarpieceKernel.Evaluate(candidate.Ways, tables.Ear, problem.Source, kernel, parameters, scale));
        double cost = Time(4000, () => CostFunction.Evaluate(candidate, workspace, null));
        double costAndEquations = Time(2000, () => CostFunction.Evaluate(candidate, workspace, equations));
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"""
            {tables.Grid.Count} frequencies, {candidate.Ways.Length} ways, {parameters.Length} values
              plain form, all frequencies        {plain,9:0.0} µs  {plain / value,6:0.0} × the kernel
              kernel, response                   {value,9:0.0} µs
              kernel, response and derivatives   {tangents,9:0.0} µs  {tangents / value,6:0.0} ×
              cost with all search figures       {cost,9:0.0} µs
              cost and Gauss–Newton equations    {costAndEquations,9:0.0} µs  {costAndEquations / cost,6:0.0} × the cost
            """));
    }

    private static double Time(int calls, Action action)
    {
        double best = double.PositiveInfinity;
        for (int round = 0; round < 8; round++)
        {
            long start = Stopwatch.GetTimestamp();
            for (int i = 0; i < calls; i++)
            {
                action();
            }

            best = Math.Min(best, Stopwatch.GetElapsedTime(start).TotalMicroseconds / calls);
        }

        return best;
    }
}
