using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>What ways cost that work against each other.</summary>
internal static class SummingCost
{
    private const double SummingScale = 3 / MagnitudeError.DbPerNeper;

    /// <summary>The cost of the loss, and the worst loss in overlaps, dB.</summary>
    public static (double Cost, double WorstDb) Of(
        int ways, CostWorkspace workspace, NormalEquations? equations, ReadOnlySpan<KernelParameter> parameters)
    {
        if (ways < 2)
        {
            return (0, 0);
        }

        MagnitudeError band = workspace.Tables.Magnitude;
        KernelWorkspace kernel = workspace.Kernel;
        int n = workspace.Tables.Grid.Count;
        double worst = SummingLoss.Of(
            workspace.ShareLog, workspace.WholeLog, ways, n, band.From, band.To, workspace.Loss, workspace.Fractions);
        double weight = workspace.Tables.Problem.Cost.Summing / (SummingScale * SummingScale), sum = 0;
        Array.Clear(workspace.RowWeights);
        Array.Clear(workspace.RowResiduals);
        for (int k = band.From; k < band.To; k++)
        {
            workspace.RowWeights[k] = weight * band.Band[k];
            workspace.RowResiduals[k] = weight * band.Band[k] * workspace.Loss[k];
            sum += workspace.RowResiduals[k] * workspace.Loss[k];
        }

        if (equations is not null)
        {
            for (int p = 0; p < parameters.Length; p++)
            {
                // Σ fractions = 1, so what shares have in common stays; own changes count by the way's fraction.
                Span<double> tangent = kernel.Row(workspace.Tangents, p);
                ReadOnlySpan<double> common = kernel.Row(kernel.CommonTangentRe, p), own = kernel.Row(kernel.OwnTangentRe, p);
                ReadOnlySpan<double> whole = kernel.Row(kernel.PressureTangentRe, p), fraction = kernel.Row(workspace.Fractions, parameters[p].Way);
                for (int k = band.From; k < band.To; k++)
                {
                    tangent[k] = common[k] + (fraction[k] * own[k]) - whole[k];
                }
            }

            CostRows.Add(workspace, equations, band.From, band.To);
        }

        return (sum, worst);
    }
}
