namespace XoverOpt.Search;

/// <summary>Local optimisation of a candidate's free values.</summary>
public static class Descent
{
    /// <summary>What an evaluation with derivatives counts in evaluations.</summary>
    public const int StepCost = 4;

    /// <summary>Moves the candidate to a local optimum of the cost near where it stands.</summary>
    public static LevenbergMarquardt.Outcome Run(Candidate candidate, CostWorkspace workspace, int evaluations, double tolerance = 1e-4)
    {
        Span<double> point = stackalloc double[candidate.Ranges.Length];
        point = point[..candidate.CopyFree(point)];
        workspace.Subject = candidate;
        LevenbergMarquardt.Outcome outcome = LevenbergMarquardt.Descend(
            workspace.Objective, point, evaluations, tolerance, workspace.Here, workspace.There);
        candidate.SetFree(point);
        workspace.Subject = null;
        return outcome;
    }
}
