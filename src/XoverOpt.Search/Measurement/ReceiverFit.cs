namespace XoverOpt.Search;

/// <summary>
/// Fits receiver parameters to measurements: bounded least squares (<see cref="LevenbergMarquardt"/>) on the complex logarithms of impedance and
/// pressure, from several starts, of which the best are followed to their end; then what the data say of each value (<see cref="FitJudgement"/>).
/// The same problem gives the same result.
/// </summary>
public static class ReceiverFit
{
    private const int Starts = 24;
    private const int Followed = 4;
    private const int FirstLook = 25;
    private const int MostEvaluations = 400;

    /// <summary>Fits.</summary>
    /// <exception cref="ArgumentException">Nothing to fit to: fewer residuals than free parameters, or no measurement.</exception>
    public static ReceiverFitResult Of(ReceiverFitProblem problem)
    {
        FitModel model = new(problem);
        int free = problem.Free.Length;
        if (model.Count <= free)
        {
            throw new ArgumentException($"{model.Count} measured values cannot tell {free} parameters.", nameof(problem));
        }

        (double Cost, double[] Point)[] looks =
            [.. FitStarts.Of(problem, Starts).Select(start => Descend(model, model.PointOf(start), FirstLook, 1e-3)).OrderBy(look => look.Cost)];
        (double Cost, double[] Point)[] ends =
            [.. looks.Take(Followed).Select(look => Descend(model, look.Point, MostEvaluations, 1e-9)).OrderBy(end => end.Cost)];
        int agreeing = ends.Count(end => end.Cost <= (ends[0].Cost * 1.001) + 1e-9);
        return FitJudgement.Of(problem, model, ends[0].Point, ends[0].Cost, agreeing, ends.Length);
    }

    private static (double Cost, double[] Point) Descend(FitModel model, double[] point, int evaluations, double tolerance)
    {
        double cost = LevenbergMarquardt.Descend(model.Evaluate, point, evaluations, tolerance).Cost;
        return (double.IsFinite(cost) ? cost : double.MaxValue, point);
    }
}
