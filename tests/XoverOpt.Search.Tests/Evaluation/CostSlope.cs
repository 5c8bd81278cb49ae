namespace XoverOpt.Search.Tests;

/// <summary>Slopes of the cost by differences of the cost itself.</summary>
internal static class CostSlope
{
    /// <summary>
    /// Half the derivative by value <paramref name="p"/> at <paramref name="at"/>, by the sixth-order central difference of step
    /// <paramref name="h"/> (B. Fornberg, Math. Comp. 51 (1988) 699–706, Table 1).
    /// </summary>
    public static double Half(Candidate candidate, CostWorkspace workspace, double[] at, int p, double h)
    {
        double Cost(double shift)
        {
            double[] moved = [.. at];
            moved[p] += shift;
            candidate.SetAll(moved);
            return CostFunction.Evaluate(candidate, workspace, null).Cost.Total;
        }

        return (Cost(3 * h) - Cost(-3 * h) - (9 * (Cost(2 * h) - Cost(-2 * h))) + (45 * (Cost(h) - Cost(-h)))) / (120 * h);
    }

    /// <summary>
    /// The worst difference between the gradient that comes with the cost and <see cref="Half"/>, as a share of the largest part of the
    /// gradient, over every value of a candidate. Where differences at two steps disagree by more than half the tolerance there is a kink
    /// (where a phase is unwrapped, where a penalty begins), and nothing is compared.
    /// </summary>
    public static (double Worst, int Compared) Worst(Candidate candidate, CostWorkspace workspace, double[] at, double tolerance)
    {
        var equations = new NormalEquations();
        candidate.SetAll(at);
        CostFunction.Evaluate(candidate, workspace, equations);
        double[] gradient = [.. equations.Gradient];
        double size = gradient.Max(Math.Abs), worst = 0;
        int compared = 0;
        for (int p = 0; p < at.Length; p++)
        {
            double coarse = Half(candidate, workspace, at, p, 1e-3), fine = Half(candidate, workspace, at, p, 5e-4);
            if (Math.Abs(coarse - fine) < tolerance / 2 * size)
            {
                compared++;
                worst = Math.Max(worst, Math.Abs(fine - gradient[p]) / size);
            }
        }

        return (worst, compared);
    }
}
