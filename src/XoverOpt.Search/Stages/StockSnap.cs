using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// From ideal values to values that can be bought or cut, as a search of its own. Around a relaxed optimum the cost is nearly a
/// quadratic form, the Gauss–Newton equations; under it <see cref="LatticeSearch"/> lists the best combinations of the coarse lists
/// (capacitors, coils, dampers). Each is held, the rest re-optimised, the best few go on to the fine lists (resistors, tube lengths) in the
/// same way, and the best build moves to neighbouring choices, one or two at a time, until nothing gains.
/// </summary>
public static class StockSnap
{
    private sealed record Partial(int[] Choices, double[] Unit, double Cost);

    /// <summary>Snaps a layout.</summary>
    /// <param name="workspace">Grid of the re-optimisation.</param>
    /// <param name="fine">Grid of the last choices and moves.</param>
    /// <param name="space">The layouts.</param>
    /// <param name="layout">Which one.</param>
    /// <param name="unit">A relaxed optimum.</param>
    /// <param name="width">Combinations of the coarse lists that are looked at.</param>
    /// <param name="steps">Most steps of a re-optimisation.</param>
    /// <returns>The choice of each value, and evaluations used.</returns>
    public static (int[] Choices, int Evaluations) Run(
        CostWorkspace workspace, CostWorkspace fine, LayoutSpace space, Layout layout, double[] unit, int width, int steps)
    {
        var candidate = new Candidate(workspace.Tables, space, layout);
        var judged = new Candidate(fine.Tables, space, layout);
        int n = candidate.Ranges.Length, used = 0;
        int[] none = candidate.Settled;
        int[] coarse = [.. Enumerable.Range(0, n).Where(q => none[q] < 0 && IsCoarse(candidate.Ranges[q]))];
        int[] rest = [.. Enumerable.Range(0, n).Where(q => none[q] < 0 && !IsCoarse(candidate.Ranges[q]))];

        var held = new List<Partial>();
        foreach (int[] choices in Combinations(candidate, workspace, none, unit, coarse, width, ref used))
        {
            Place(candidate, choices, unit);
            LevenbergMarquardt.Outcome outcome = Descent.Run(candidate, workspace, steps, 1e-3);
            used += Descent.StepCost * outcome.Evaluations;
            held.Add(new(choices, [.. candidate.Unit], Comparable(outcome.Cost)));
        }

        var whole = new List<Partial>();
        foreach (Partial partial in held.OrderBy(partial => partial.Cost).Take(Math.Max(width / 4, 1)))
        {
            foreach (int[] choices in Combinations(candidate, workspace, partial.Choices, partial.Unit, rest, width, ref used))
            {
                Place(judged, choices, partial.Unit);
                used++;
                whole.Add(new(choices, partial.Unit, Cost(judged, fine)));
            }
        }

        int[] best = whole.MinBy(partial => partial.Cost)!.Choices;
        do
        {
            best = Around(judged, fine, best, 6 * width, ref used);
        }
        while (Polish(judged, fine, best, ref used));
        return (best, used);
    }

    /// <summary>Capacitors, coils and dampers come in few values, resistors and lengths in fine steps.</summary>
    private static bool IsCoarse(ParameterRange range) =>
        range.Parameter.Kind is ParameterKind.Capacitor or ParameterKind.Coil or ParameterKind.Damper;

    /// <summary>The best combinations for some values under the quadratic model around a point, the other free values at their best.</summary>
    private static List<int[]> Combinations(
        Candidate candidate, CostWorkspace workspace, int[] held, double[] unit, int[] wanted, int count, ref int used)
    {
        if (wanted.Length == 0)
        {
            return [held];
        }

        Place(candidate, held, unit);
        var equations = new NormalEquations();
        CostFunction.Evaluate(candidate, workspace, equations);
        used += Descent.StepCost;
        int[] free = [.. Enumerable.Range(0, held.Length).Where(q => held[q] < 0)];
        int[] order = [.. free.Where(q => !wanted.Contains(q)), .. wanted];
        int n = order.Length;
        double[] matrix = new double[n * n], gradient = new double[n];
        for (int i = 0; i < n; i++)
        {
            int a = Array.IndexOf(free, order[i]);
            gradient[i] = equations.Gradient[a];
            for (int j = 0; j <= i; j++)
            {
                int b = Array.IndexOf(free, order[j]);
                matrix[(i * n) + j] = equations.Matrix[(Math.Max(a, b) * n) + Math.Min(a, b)];
            }
        }

        double[][] lists = [.. wanted.Select(q => candidate.Ranges[q].Choices.Select(choice => candidate.Ranges[q].Unit(choice.Value) - unit[q]).ToArray())];
        List<LatticeSearch.Point> points = LatticeSearch.Best(matrix, gradient, lists, count);
        if (points.Count == 0)
        {
            // No model to go by: the nearest of each list.
            points.Add(new([.. wanted.Select(q => candidate.Ranges[q].Nearest(candidate.Value(q)))], 0));
        }

        return [.. points.Select(point =>
        {
            int[] choices = [.. held];
            for (int i = 0; i < wanted.Length; i++)
            {
                choices[wanted[i]] = point.Choices[i];
            }

            return choices;
        })];
    }

    private static void Place(Candidate candidate, int[] choices, double[] unit)
    {
        candidate.Release();
        candidate.SetAll(unit);
        for (int q = 0; q < choices.Length; q++)
        {
            if (choices[q] >= 0)
            {
                candidate.Hold(q, choices[q]);
            }
        }
    }

    private static double Cost(Candidate candidate, CostWorkspace workspace) =>
        Comparable(CostFunction.Evaluate(candidate, workspace, null).Cost.Total);

    /// <summary>Sorting puts what is not a number first, where it would pass for the best.</summary>
    private static double Comparable(double cost) => double.IsFinite(cost) ? cost : double.PositiveInfinity;

    /// <summary>While that gains: the best combinations of all lists under the quadratic model around the build, each evaluated.</summary>
    private static int[] Around(Candidate candidate, CostWorkspace workspace, int[] choices, int count, ref int used)
    {
        int[] none = candidate.Settled, all = [.. Enumerable.Range(0, choices.Length).Where(q => none[q] < 0)];
        Place(candidate, choices, candidate.Unit);
        double best = Cost(candidate, workspace);
        for (bool moved = true; moved;)
        {
            moved = false;
            Place(candidate, choices, candidate.Unit);
            foreach (int[] other in Combinations(candidate, workspace, none, [.. candidate.Unit], all, count, ref used))
            {
                Place(candidate, other, candidate.Unit);
                used++;
                double cost = Cost(candidate, workspace);
                if (cost < best * (1 - 1e-9))
                {
                    (best, choices, moved) = (cost, other, true);
                }
            }
        }

        return choices;
    }

    /// <summary>Single values and pairs move to neighbouring choices while that gains; whether it did.</summary>
    private static bool Polish(Candidate candidate, CostWorkspace workspace, int[] choices, ref int used)
    {
        Place(candidate, choices, candidate.Unit);
        double best = Cost(candidate, workspace), first = best;
        bool moved = true;
        for (int round = 0; moved && round < 8; round++)
        {
            moved = false;
            for (int a = 0; a < choices.Length; a++)
            {
                for (int b = a; b < choices.Length; b++)
                {
                    foreach ((int da, int db) in a == b ? Single : Double)
                    {
                        int wasA = choices[a], wasB = choices[b];
                        if (!Fits(candidate, a, wasA + da) || (b != a && !Fits(candidate, b, wasB + db)))
                        {
                            continue;
                        }

                        Move(candidate, choices, a, wasA + da);
                        if (b != a)
                        {
                            Move(candidate, choices, b, wasB + db);
                        }

                        double cost = Cost(candidate, workspace);
                        used++;
                        if (cost < best * (1 - 1e-9))
                        {
                            (best, moved) = (cost, true);
                        }
                        else
                        {
                            Move(candidate, choices, a, wasA);
                            Move(candidate, choices, b, wasB);
                        }
                    }
                }
            }
        }

        return best < first;
    }

    private static readonly (int, int)[] Single = [(1, 0), (-1, 0)];

    private static readonly (int, int)[] Double = [(1, 1), (1, -1), (-1, 1), (-1, -1)];

    private static bool Fits(Candidate candidate, int index, int choice) => choice >= 0 && choice < candidate.Ranges[index].Choices.Count;

    private static void Move(Candidate candidate, int[] choices, int index, int choice)
    {
        choices[index] = choice;
        candidate.Hold(index, choice);
    }
}
