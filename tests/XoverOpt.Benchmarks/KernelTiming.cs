using System.Diagnostics;
using System.Globalization;
using System.Runtime.Intrinsics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Benchmarks;

/// <summary>
/// Times the arithmetic of one candidate of a job in one run: kernel, cost with all search figures, cost with gradients and Gauss–Newton
/// equations, and whole descents from random starts. One thread; each time is the best of many short rounds, so that other work on the
/// machine disturbs it little. Ratios and shares of the peak count, times depend on the machine.
/// <code>dotnet run -c Release --project tests/XoverOpt.Benchmarks -- kernel jobs/quick.json</code>
/// </summary>
internal static class KernelTiming
{
    public static int Run(string[] arguments)
    {
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

        double peak = Peak();
        Say($"peak of a plain loop of 256-bit multiply-adds: {peak:0.0} GFLOP/s");
        Say($"""

            points ways values |  kernel    value  +equations  ratio | bytes | value, GFLOP/s of its minimum phase and share of the peak
            """);
        foreach (int density in new[] { 6, 12, 24 })
        {
            Measure(problem, space, layout, density, problem.Ways.Count, peak);
        }

        for (int ways = 1; ways <= 4; ways++)
        {
            Problem cut = problem with { Ways = [.. Enumerable.Range(0, ways).Select(i => problem.Ways[i % problem.Ways.Count])] };
            var cutLayout = new Layout([.. Enumerable.Range(0, ways).Select(i => layout.Options[i % layout.Options.Length])]);
            Measure(cut, new LayoutSpace(cut), cutLayout, 12, ways, peak);
        }

        Plain(problem, space, layout);
        foreach (int density in new[] { 6, 12 })
        {
            Descents(problem, space, layout, density);
        }

        return 0;
    }

    private static void Measure(Problem problem, LayoutSpace space, Layout layout, int density, int ways, double peak)
    {
        var tables = new ProblemTables(problem, density);
        var kernel = new KernelWorkspace(tables.Grid);
        var workspace = new CostWorkspace(tables);
        var equations = new NormalEquations();
        var candidate = new Candidate(tables, space, layout);
        double response = Time(() => EarpieceKernel.Evaluate(candidate.Ways, tables.Ear, problem.Source, kernel, [], []));
        double value = Time(() => CostFunction.Evaluate(candidate, workspace, null));
        double all = Time(() => CostFunction.Evaluate(candidate, workspace, equations));
        long before = GC.GetAllocatedBytesForCurrentThread();
        CostFunction.Evaluate(candidate, workspace, null);
        CostFunction.Evaluate(candidate, workspace, equations);
        long bytes = GC.GetAllocatedBytesForCurrentThread() - before;

        // Minimum phase alone: rows in the bands, 2 operations an entry, of the whole and each share.
        int vectors = ways > 1 ? 1 + ways : 1;
        int from = Math.Min(tables.Phase.From, tables.Arrival.From), to = Math.Max(tables.Phase.To, tables.Arrival.To);
        double[] x = new double[vectors * tables.Grid.Count], y = new double[vectors * tables.Grid.Count];
        double phase = Time(() => tables.MinimumPhase.ApplyMany(x, y, vectors, from, to));
        double rate = 2e-3 * vectors * (to - from) * tables.Grid.Count / phase;
        Say($"{tables.Grid.Count,6} {ways,4} {candidate.Ranges.Length,6} | {response,7:0.00} {value,8:0.00} {all,11:0.00} {all / value,6:0.00} | {bytes,5} | {phase,6:0.00} µs {rate,6:0.0} {rate / peak,6:P0}");
    }

    private static void Plain(Problem problem, LayoutSpace space, Layout layout)
    {
        var tables = new ProblemTables(problem, 12);
        Earpiece earpiece = new Candidate(tables, space, layout).ToEarpiece();
        double plain = Time(() =>
        {
            foreach (double omega in tables.Grid.Omega)
            {
                PlainResponse.At(earpiece, problem.Ear, problem.Source, omega);
            }
        });
        Say($"\nplain form, {tables.Grid.Count} frequencies: {plain:0} µs");
    }

    private static void Descents(Problem problem, LayoutSpace space, Layout layout, int density)
    {
        var tables = new ProblemTables(problem, density);
        var workspace = new CostWorkspace(tables);
        var candidate = new Candidate(tables, space, layout);
        var random = new Random64(1);
        double[][] starts = [.. Enumerable.Range(0, 60).Select(_ => candidate.Ranges.Select(_ => 0.05 + (0.9 * random.NextDouble())).ToArray())];
        double best = double.PositiveInfinity;
        int evaluations = 0, converged = 0;
        for (int round = 0; round < 6; round++)
        {
            evaluations = converged = 0;
            double total = 0;
            foreach (double[] start in starts)
            {
                long from = Stopwatch.GetTimestamp();
                candidate.SetAll(start);
                LevenbergMarquardt.Outcome outcome = Descent.Run(candidate, workspace, 200);
                total += Stopwatch.GetElapsedTime(from).TotalSeconds;
                evaluations += outcome.Evaluations;
                converged += outcome.Converged ? 1 : 0;
            }

            best = Math.Min(best, total);
        }

        Say($"descents, {tables.Grid.Count} points, {candidate.Ranges.Length} values: {starts.Length / best:0} a second, {(double)evaluations / starts.Length:0.0} evaluations each, {converged} of {starts.Length} converged within 200");
    }

    /// <summary>GFLOP/s of multiply-adds on registers: ten chains keep both units busy.</summary>
    private static double Peak()
    {
        const int Loops = 20_000;
        double sink = 0;
        double micro = Time(() => sink += Chains(Loops));
        GC.KeepAlive(sink);
        return 10 * 4 * 2 * Loops / (1e3 * micro);
    }

    private static double Chains(int loops)
    {
        var by = Vector256.Create(0.999999);
        Vector256<double> a = by, b = by, c = by, d = by, e = by, f = by, g = by, h = by, i = by, j = by;
        for (int n = 0; n < loops; n++)
        {
            a = Vector256.FusedMultiplyAdd(a, by, by);
            b = Vector256.FusedMultiplyAdd(b, by, by);
            c = Vector256.FusedMultiplyAdd(c, by, by);
            d = Vector256.FusedMultiplyAdd(d, by, by);
            e = Vector256.FusedMultiplyAdd(e, by, by);
            f = Vector256.FusedMultiplyAdd(f, by, by);
            g = Vector256.FusedMultiplyAdd(g, by, by);
            h = Vector256.FusedMultiplyAdd(h, by, by);
            i = Vector256.FusedMultiplyAdd(i, by, by);
            j = Vector256.FusedMultiplyAdd(j, by, by);
        }

        return Vector256.Sum(a + b + c + d + e + f + g + h + i + j);
    }

    /// <summary>Microseconds a call: the best of many rounds of about a fifth of a millisecond, after a warm-up that lets the compiler finish.</summary>
    private static double Time(Action action)
    {
        long warm = Stopwatch.GetTimestamp();
        int calls = 0;
        while (Stopwatch.GetElapsedTime(warm).TotalMilliseconds < 400 || calls < 3)
        {
            action();
            calls++;
        }

        int round = Math.Max(1, calls / 4000);
        double best = double.PositiveInfinity;
        long start = Stopwatch.GetTimestamp();
        while (Stopwatch.GetElapsedTime(start).TotalMilliseconds < 600)
        {
            long from = Stopwatch.GetTimestamp();
            for (int i = 0; i < round; i++)
            {
                action();
            }

            best = Math.Min(best, Stopwatch.GetElapsedTime(from).TotalMicroseconds / round);
        }

        return best;
    }

    private static void Say(FormattableString line) => Console.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
