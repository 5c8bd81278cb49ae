using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// From ideal values to values that can be bought or cut, as a search of its own: one value after another, coarsest lists first, is
/// tried at its nearest choices with the free rest re-optimised, and the best few part-snapped builds go on (a beam search). Last, on
/// the fine grid, single values and pairs move to neighbouring choices until nothing gains.
/// </summary>
public static class BeamSnap
{
    private sealed record Partial(int[] Choices, double[] Unit, double Cost);

    /// <summary>Snaps a layout.</summary>
    /// <param name="workspace">Grid of the beam search.</param>
    /// <param name="fine">Grid of the last moves.</param>
    /// <param name="space">The layouts.</param>
    /// <param name="layout">Which one.</param>
    /// <param name="unit">Its relaxed optimum.</param>
    /// <param name="width">Part-snapped builds kept.</param>
    /// <param name="evaluations">Most evaluations a re-optimisation.</param>
    /// <returns>The choice of each value, and evaluations used.</returns>
    public static (int[] Choices, int Evaluations) Run(
        CostWorkspace workspace, CostWorkspace fine, LayoutSpace space, Layout layout, double[] unit, int width, int evaluations)
    {
        var shape = new Candidate(workspace.Tables, space, layout);
        int used = 0;
        int[] order = [.. Enumerable.Range(0, shape.Ranges.Length).OrderBy(q => Rank(shape.Ranges[q])).ThenBy(q => q)];
        List<Partial> beam = [new([.. Enumerable.Repeat(-1, order.Length)], unit, 0)];
        foreach (int q in order)
        {
            var next = new List<Partial>();
            foreach (Partial partial in beam)
            {
                foreach (int choice in Near(shape.Ranges[q], partial.Unit[q], width > 2 ? 3 : 2))
                {
                    var candidate = new Candidate(workspace.Tables, space, layout);
                    candidate.SetAll(partial.Unit);
                    int[] choices = [.. partial.Choices];
                    choices[q] = choice;
                    for (int held = 0; held < choices.Length; held++)
                    {
                        if (choices[held] >= 0)
                        {
                            candidate.Hold(held, choices[held]);
                        }
                    }

                    LevenbergMarquardt.Outcome outcome = Descent.Run(candidate, workspace, evaluations, 1e-3);
                    used += outcome.Evaluations;
                    next.Add(new(choices, [.. candidate.Unit], outcome.Cost));
                }
            }

            beam = [.. next.OrderBy(partial => partial.Cost).Take(width)];
        }

        int[] best = beam[0].Choices;
        used += Polish(new Candidate(fine.Tables, space, layout), fine, best, width > 1 ? 20 : 1);
        return (best, used);
    }

    /// <summary>Capacitors, coils and dampers come in few values, lengths in many, resistors in fine series: the coarse ones go first.</summary>
    private static int Rank(ParameterRange range) => range.Parameter.Kind switch
    {
        ParameterKind.Capacitor => 0,
        ParameterKind.Coil => 1,
        ParameterKind.Damper => 2,
        ParameterKind.TubeLength => 3,
        _ => 4,
    };

    private static IEnumerable<int> Near(ParameterRange range, double unit, int count)
    {
        int nearest = range.Nearest(range.Value(unit));
        return Enumerable.Range(Math.Max(nearest - 2, 0), Math.Min(nearest + 2, range.Choices.Count - 1) - Math.Max(nearest - 2, 0) + 1)
            .OrderBy(choice => Math.Abs(range.Unit(range.Choices[choice].Value) - unit))
            .ThenBy(choice => choice)
            .Take(count);
    }

    private static int Polish(Candidate candidate, CostWorkspace workspace, int[] choices, int rounds)
    {
        int used = 0;
        double Cost()
        {
            used++;
            return CostFunction.Evaluate(candidate, workspace, null).Cost.Total + TrialRunner.PeakPenalty(candidate, workspace.Tables.Problem);
        }

        for (int q = 0; q < choices.Length; q++)
        {
            candidate.Hold(q, choices[q]);
        }

        double best = Cost();
        bool moved = true;
        for (int round = 0; moved && round < rounds; round++)
        {
            moved = false;
            for (int a = 0; a < choices.Length; a++)
            {
                for (int b = a; b < choices.Length; b++)
                {
                    foreach ((int da, int db) in b == a ? Single : Double)
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

                        double cost = Cost();
                        if (cost < best * (1 - 1e-9))
                        {
                            best = cost;
                            moved = true;
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

        return used;
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
