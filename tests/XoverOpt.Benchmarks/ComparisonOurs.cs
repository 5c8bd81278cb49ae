using System.Diagnostics;
using XoverOpt.Search;

namespace XoverOpt.Benchmarks;

/// <summary>
/// This project's engine in the comparison, on one thread. A step with derivatives counts as <paramref name="weight"/> evaluations of a
/// value, on whatever grid. Costs are worked out again on the grid the others get, and that counts too.
/// </summary>
internal sealed class ComparisonOurs(Problem problem, double weight)
{
    private const int Draws = 16;
    private const int CalibrationEvaluations = 20_000;
    private const int DescentEvaluations = 300;
    private const int Leaders = 4;
    private const double Shake = 0.3;
    private readonly LayoutSpace _space = new(problem);
    private readonly ProblemTables _tables = new(problem, ComparisonCommand.Density);

    // The engine counts a step as so many evaluations; where one was measured to take more, its whole count is raised.
    private readonly double _counted = Math.Max(1, weight / Descent.StepCost);
    private double _rate;
    private double _finish;

    /// <summary>The whole job: layout searches one after another until seconds or evaluations are used; best ideal and best real cost.</summary>
    public (ComparisonTrace Relaxed, ComparisonTrace Real) Job(ulong seed, double seconds, double evaluations)
    {
        Calibrate();
        double plan = 0.85;
        while (true)
        {
            (ComparisonTrace Relaxed, ComparisonTrace Real) traces = Job(seed, seconds, evaluations, plan);
            if (traces.Real.Evaluations <= evaluations || plan < 0.05)
            {
                return traces;
            }

            // It ran over what it may use: planned smaller, it is run anew, and only the run that keeps within counts.
            plan *= 0.9 * evaluations / traces.Real.Evaluations;
        }
    }

    private (ComparisonTrace Relaxed, ComparisonTrace Real) Job(ulong seed, double seconds, double evaluations, double plan)
    {
        PointCost ideal = new(_tables, _space, real: false), real = new(_tables, _space, real: true);
        var relaxedPoints = new List<(double, double, double)>();
        var realPoints = new List<(double, double, double)>();
        double used = 0, bestRelaxed = double.PositiveInfinity, bestReal = double.PositiveInfinity;
        var search = new LayoutSearch(With(Budget(1), seed * 1000));
        long start = Stopwatch.GetTimestamp();
        double Elapsed() => Stopwatch.GetElapsedTime(start).TotalSeconds;

        // What a search is planned to use lies below what is left, since its last batches and the finish run over.
        long Budget(double left) => (long)Math.Max(plan * left * Math.Min(seconds * _rate, evaluations / _counted), 100);
        double latest = (0.97 * seconds) - (1.5 * _finish);

        for (ulong next = 1; ; next++)
        {
            Run(search, () => Elapsed() > latest || used + (search.Progress.Evaluations * _counted) > 0.93 * evaluations);
            SearchState state = search.Save();
            bestRelaxed = Math.Min(bestRelaxed, state.Elite.Min(found => ideal.At(new(found.Options), found.Unit)));
            bestReal = Math.Min(bestReal, state.Snapped.Select(found => real.At(new(found.Options), found.Unit)).DefaultIfEmpty(double.PositiveInfinity).Min());
            used += (state.Evaluations * _counted) + state.Elite.Count + state.Snapped.Count;
            relaxedPoints.Add((used, Elapsed(), bestRelaxed));
            realPoints.Add((used, Elapsed(), bestReal));
            double left = 1 - Math.Max(Elapsed() / seconds, used / evaluations);
            if (left < 0.2)
            {
                return (new(relaxedPoints, used, Elapsed()), new(realPoints, used, Elapsed()));
            }

            search = new LayoutSearch(With(Budget(left), (seed * 1000) + next));
        }
    }

    /// <summary>
    /// One layout: descents, one from the best of some random points and then two from shaken copies of one of the four best optima, as the layout search
    /// refines its best; with <paramref name="real"/>, each optimum is tried at its nearest real values, and as many evaluations again go into snapping the best.
    /// </summary>
    public ComparisonTrace Layout(Layout layout, bool real, ulong seed, double seconds, double evaluations)
    {
        var random = new Random64(seed);
        var candidate = new Candidate(_tables, _space, layout);
        CostWorkspace workspace = new(_tables), second = new(_tables);
        var cost = new PointCost(_tables, _space, real: false);
        var realCost = new PointCost(_tables, _space, real: true);
        var points = new List<(double, double, double)>();
        var optima = new List<(double Cost, double[] Unit)>();
        var snapped = new HashSet<double>();
        int starts = 0;
        double descents = 0, snaps = 0, best = double.PositiveInfinity;

        // Compiled before the clock starts, as on the other side.
        double[] start = new double[candidate.Ranges.Length];
        var warm = new Random64(0);
        for (int i = 0; i < 50; i++)
        {
            Descend(warm, null);
        }

        descents = 0;
        long began = Stopwatch.GetTimestamp();
        double Elapsed() => Stopwatch.GetElapsedTime(began).TotalSeconds;
        while (Elapsed() < seconds || descents + snaps < evaluations)
        {
            bool anew = optima.Count < Leaders || starts++ % 3 == 0;
            int used = Descend(random, anew ? null : optima[random.Below(Leaders)].Unit);
            double found = cost.At(layout, candidate.Unit);
            descents += (used * weight) + 1;
            int at = optima.FindIndex(optimum => optimum.Cost > found);
            optima.Insert(at < 0 ? optima.Count : at, (found, [.. candidate.Unit]));
            if (!real)
            {
                Offer(found);
                continue;
            }

            snaps++;
            Offer(realCost.At(layout, candidate.Unit));
            if (snaps < descents && optima.FirstOrDefault(optimum => !snapped.Contains(Rounded(optimum.Cost))) is { Unit: not null } next)
            {
                (int[] choices, int more) = StockSnap.Run(workspace, second, _space, layout, next.Unit, 16, 12);
                var build = new Candidate(_tables, _space, layout);
                for (int q = 0; q < choices.Length; q++)
                {
                    build.Hold(q, choices[q]);
                }

                snapped.Add(Rounded(next.Cost));
                snaps += more + 1;
                Offer(realCost.At(layout, build.Unit));
            }
        }

        return new(points, descents + snaps, Elapsed());

        int Descend(Random64 from, double[]? near)
        {
            double lowest = double.PositiveInfinity;
            for (int draw = 0; near is null && draw < Draws; draw++)
            {
                double[] drawn = [.. start.Select(_ => from.NextDouble())];
                double value = cost.At(layout, drawn);
                (lowest, start) = value < lowest ? (value, drawn) : (lowest, start);
                descents++;
            }

            for (int q = 0; near is not null && q < start.Length; q++)
            {
                start[q] = Math.Clamp(near[q] + (Shake * (from.NextDouble() - 0.5)), 0, 1);
            }

            candidate.SetAll(start);
            return Descent.Run(candidate, workspace, DescentEvaluations).Evaluations;
        }

        void Offer(double found)
        {
            if (found < best)
            {
                best = found;
                points.Add((descents + snaps, Elapsed(), found));
            }
        }
    }

    /// <summary>The layout that a search of stated effort under the job's own seed likes best: its place in the list of all.</summary>
    public long BestLayout(long evaluations)
    {
        var search = new LayoutSearch(With(evaluations, problem.Effort.Seed));
        Run(search, () => false);
        int[] options = search.Save().Elite[0].Options;
        long place = 0;
        for (int way = options.Length - 1; way >= 0; way--)
        {
            place = (place * _space.Options[way].Count) + options[way];
        }

        return place;
    }

    // Optima reached from different starts agree to about this.
    private static double Rounded(double cost) => Math.Round(cost, 4);

    private Problem With(long evaluations, ulong seed) =>
        problem with { Effort = problem.Effort with { Evaluations = evaluations, Minutes = null, Seed = seed } };

    /// <summary>
    /// Evaluations a second and the seconds that a stopped search takes to finish, which decide what a search may plan for a stated time;
    /// and everything is compiled then.
    /// </summary>
    private void Calibrate()
    {
        if (_rate > 0)
        {
            return;
        }

        for (ulong i = 0; i < 2; i++)
        {
            var search = new LayoutSearch(With(CalibrationEvaluations, 1 + i));
            long start = Stopwatch.GetTimestamp();
            Run(search, () => false);
            _rate = search.Progress.Evaluations / Stopwatch.GetElapsedTime(start).TotalSeconds;

            search = new LayoutSearch(With(CalibrationEvaluations, 3 + i));
            Run(search, () =>
            {
                start = Stopwatch.GetTimestamp();
                return search.Progress.Evaluations > CalibrationEvaluations / 5;
            });
            _finish = Stopwatch.GetElapsedTime(start).TotalSeconds;
        }
    }

    private static void Run(LayoutSearch search, Func<bool> over)
    {
        bool stopped = false;
        while (!search.Done)
        {
            var results = new List<TrialResult>();
            foreach (Trial trial in search.Outstanding[0].Trials)
            {
                if (!stopped && over())
                {
                    // What the batch has so far is dropped, as when a user stops a search.
                    search.Stop(StopReason.TimeUsed);
                    stopped = true;
                    results.Clear();
                    break;
                }

                results.Add(search.Evaluate(trial));
            }

            if (!stopped || results.Count > 0)
            {
                search.Tell(results);
            }
        }
    }
}
