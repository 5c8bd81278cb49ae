using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
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
            workspace.ShareSizes, workspace.WholeLog, ways, n, band.From, band.To, workspace.Loss, workspace.Fractions);
        double weight = workspace.Tables.Problem.Cost.Summing / (SummingScale * SummingScale);
        ref double plain = ref MemoryMarshal.GetArrayDataReference(band.Band), loss = ref MemoryMarshal.GetArrayDataReference(workspace.Loss);
        ref double rowWeight = ref MemoryMarshal.GetArrayDataReference(workspace.RowWeights), rowResidual = ref MemoryMarshal.GetArrayDataReference(workspace.RowResiduals);
        Vector256<double> sums = default;
        for (int k = BandSums.Start(band.From); k < BandSums.End(band.To); k += 4)
        {
            Vector256<double> w = Vector256.LoadUnsafe(ref plain, (nuint)k) * Vector256.Create(weight), x = Vector256.LoadUnsafe(ref loss, (nuint)k);
            Vector256.StoreUnsafe(w, ref rowWeight, (nuint)k);
            Vector256.StoreUnsafe(w * x, ref rowResidual, (nuint)k);
            sums = Vector256.FusedMultiplyAdd(w * x, x, sums);
        }

        if (equations is not null)
        {
            for (int p = 0; p < parameters.Length; p++)
            {
                // Σ fractions = 1, so what shares have in common stays; own changes count by the way's fraction.
                Span<double> tangent = kernel.Row(workspace.Tangents, p);
                ReadOnlySpan<double> common = kernel.Row(kernel.CommonTangentRe, p), own = kernel.Row(kernel.OwnTangentRe, p);
                ReadOnlySpan<double> whole = kernel.Row(kernel.PressureTangentRe, p), fraction = kernel.Row(workspace.Fractions, parameters[p].Way);
                for (int k = BandSums.Start(band.From); k < BandSums.End(band.To); k += 4)
                {
                    Vector256<double> change = Vector256.FusedMultiplyAdd(
                        Vector256.Create(fraction.Slice(k, 4)),
                        Vector256.Create(own.Slice(k, 4)),
                        Vector256.Create(common.Slice(k, 4)) - Vector256.Create(whole.Slice(k, 4)));
                    change.CopyTo(tangent.Slice(k, 4));
                }
            }

            CostRows.Add(workspace, equations, band.From, band.To);
        }

        return (BandSums.Total(sums), worst);
    }
}
