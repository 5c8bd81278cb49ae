namespace XoverOpt.Search;

/// <summary>Figures over frequency as rows of a sum of squares.</summary>
internal static class CostRows
{
    /// <summary>Prepares rows for a figure x(f) that costs weight·w·x² and beyond ±edge also penalty·band·(|x| − edge)²; returns the latter.</summary>
    public static double Prepare(
        CostWorkspace workspace, double[] weights, double[] band, double[] x, double weight, double edge, double penalty, int from, int to)
    {
        Array.Clear(workspace.RowWeights);
        Array.Clear(workspace.RowResiduals);
        double sum = 0;
        for (int k = from; k < to; k++)
        {
            double w = weight * weights[k], slope = w * x[k], beyond = Math.Abs(x[k]) - edge;
            if (beyond > 0)
            {
                double extra = penalty * band[k];
                w += extra;
                slope += extra * beyond * Math.Sign(x[k]);
                sum += extra * beyond * beyond;
            }

            workspace.RowWeights[k] = w;
            workspace.RowResiduals[k] = slope;
        }

        return sum;
    }

    /// <summary>Adds the prepared rows with the tangents in the workspace.</summary>
    public static void Add(CostWorkspace workspace, NormalEquations equations, int from, int to) => equations.AddBlock(
        workspace.Tangents, workspace.Tables.Grid.Count, workspace.RowWeights, workspace.RowResiduals, workspace.Weighted, from, to);
}
