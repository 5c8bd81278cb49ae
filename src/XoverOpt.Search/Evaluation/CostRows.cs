using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>Figures over frequency as rows of a sum of squares.</summary>
internal static class CostRows
{
    /// <summary>Prepares rows for a figure x(f) that costs weight·w·x² and beyond ±edge also penalty·band·(|x| − edge)²; returns the latter.</summary>
    public static double Prepare(
        CostWorkspace workspace, double[] weights, double[] band, double[] x, double weight, double edge, double penalty, int from, int to)
    {
        int end = BandSums.End(to);
        ref double given = ref MemoryMarshal.GetReference(weights.AsSpan(0, end)), plain = ref MemoryMarshal.GetReference(band.AsSpan(0, end));
        ref double figure = ref MemoryMarshal.GetReference(x.AsSpan(0, end));
        ref double rowWeight = ref MemoryMarshal.GetReference(workspace.RowWeights.AsSpan(0, end));
        ref double rowResidual = ref MemoryMarshal.GetReference(workspace.RowResiduals.AsSpan(0, end));
        Vector256<double> sum = default;
        for (int k = BandSums.Start(from); k < end; k += 4)
        {
            Vector256<double> value = Vector256.LoadUnsafe(ref figure, (nuint)k), w = Vector256.LoadUnsafe(ref given, (nuint)k) * Vector256.Create(weight);
            Vector256<double> beyond = Vector256.Max(Vector256.Abs(value) - Vector256.Create(edge), Vector256<double>.Zero);
            Vector256<double> broken = Vector256.GreaterThan(beyond, Vector256<double>.Zero);
            Vector256<double> extra = (Vector256.LoadUnsafe(ref plain, (nuint)k) * Vector256.Create(penalty)) & broken;
            Vector256<double> signed = Vector256.CopySign(beyond, value);
            Vector256.StoreUnsafe(w + extra, ref rowWeight, (nuint)k);
            Vector256.StoreUnsafe(Vector256.FusedMultiplyAdd(w, value, extra * signed), ref rowResidual, (nuint)k);
            sum = Vector256.FusedMultiplyAdd(extra * beyond, beyond, sum);
        }

        return BandSums.Total(sum);
    }

    /// <summary>Adds the prepared rows with the tangents in the workspace.</summary>
    public static void Add(CostWorkspace workspace, NormalEquations equations, int from, int to) => equations.AddBlock(
        workspace.Tangents, workspace.Tables.Grid.Count, workspace.RowWeights, workspace.RowResiduals, workspace.Weighted, from, to);
}
