namespace XoverOpt.Search;

/// <summary>Local optimisation of a candidate's free values.</summary>
public static class Descent
{
    /// <summary>Moves the candidate to a local optimum of the cost near where it stands.</summary>
    public static LevenbergMarquardt.Outcome Run(Candidate candidate, CostWorkspace workspace, int evaluations, double tolerance = 1e-4)
    {
        double[] point = candidate.Free();
        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(
            (at, equations) =>
            {
                candidate.SetFree(at);
                return CostFunction.Evaluate(candidate, workspace, equations).Cost.Total;
            },
            point,
            evaluations,
            tolerance);
        candidate.SetFree(point);
        return outcome;
    }
}
