using System.Runtime.Intrinsics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>What late or early ways cost.</summary>
internal static class ArrivalCost
{
    private const double ArrivalPenalty = 30;

    /// <summary>The cost of the arrival spread, its penalty and the spread, s.</summary>
    public static (double Cost, double Penalty, double Spread) Of(
        ReadOnlySpan<KernelWay> ways,
        ReadOnlySpan<double> delays,
        CostWorkspace workspace,
        NormalEquations? equations,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        if (ways.Length < 2)
        {
            return (0, 0, 0);
        }

        ProblemTables tables = workspace.Tables;
        Span<double> arrivals = stackalloc double[ways.Length];
        Arrivals(delays, workspace, arrivals);
        int early = 0, late = 0;
        for (int i = 1; i < ways.Length; i++)
        {
            early = arrivals[i] < arrivals[early] ? i : early;
            late = arrivals[i] > arrivals[late] ? i : late;
        }

        double spread = arrivals[late] - arrivals[early], limit = tables.Problem.Phase.ArrivalLimit;
        double weight = tables.Problem.Cost.Arrival, beyond = Math.Max((spread / limit) - CostFunction.Margin, 0);
        double penalty = ArrivalPenalty * beyond * beyond;
        if (equations is not null && equations.Count > 0)
        {
            Span<double> row = stackalloc double[equations.Count];
            AddArrivalTangent(workspace, late, 1 / limit, parameters, scale, row);
            AddArrivalTangent(workspace, early, -1 / limit, parameters, scale, row);
            AddScaled(equations, Math.Sqrt(weight), spread / limit, row);
            if (beyond > 0)
            {
                AddScaled(equations, Math.Sqrt(ArrivalPenalty), beyond, row);
            }
        }

        return (weight * (spread / limit) * (spread / limit), penalty, spread);
    }

    /// <summary>Arrival of each way, s, from the shares of the last evaluation.</summary>
    public static void Arrivals(ReadOnlySpan<double> delays, CostWorkspace workspace, Span<double> arrivals)
    {
        Arrival figure = workspace.Tables.Arrival;
        KernelWorkspace kernel = workspace.Kernel;
        for (int i = 0; i < arrivals.Length; i++)
        {
            workspace.Tables.MinimumPhase.Apply(kernel.Row(workspace.ShareLog, i), workspace.ShareMinimum, figure.From, figure.To);
            arrivals[i] = figure.Of(
                kernel.Row(workspace.ShareLog, i),
                workspace.WholeLog,
                kernel.Row(workspace.SharePhase, i),
                workspace.ShareMinimum,
                delays[i],
                kernel.Row(workspace.OnPhase, i),
                kernel.Row(workspace.OnLevel, i));
        }
    }

    /// <summary>About the delay of each way's sound path, s: spout and tube at the speed of sound.</summary>
    public static void PathDelays(ReadOnlySpan<KernelWay> ways, Air air, Span<double> delays)
    {
        for (int i = 0; i < ways.Length; i++)
        {
            double length = ways[i].Receiver.Receiver.SpoutLength;
            foreach (double piece in ways[i].Lengths)
            {
                length += piece;
            }

            delays[i] = length / air.SoundSpeed;
        }
    }

    private static void AddArrivalTangent(
        CostWorkspace workspace, int way, double factor, ReadOnlySpan<KernelParameter> parameters, ReadOnlySpan<double> scale, Span<double> row)
    {
        KernelWorkspace kernel = workspace.Kernel;
        Arrival figure = workspace.Tables.Arrival;
        ReadOnlySpan<double> onPhase = kernel.Row(workspace.OnPhase, way), onLevel = kernel.Row(workspace.OnLevel, way);
        bool unheard = !onPhase.ContainsAnyExcept(0.0);
        workspace.Tables.MinimumPhase.ApplyTransposed(onPhase, workspace.OnLog, figure.From, figure.To);
        for (int k = 0; k < workspace.OnLog.Length; k++)
        {
            workspace.OnLog[k] = onLevel[k] - workspace.OnLog[k];
        }

        for (int p = 0; p < parameters.Length; p++)
        {
            ReadOnlySpan<double> re = kernel.Row(kernel.CommonTangentRe, p), im = kernel.Row(kernel.CommonTangentIm, p);
            double change = Dot(onPhase, im) + Dot(workspace.OnLog, re)
                - Dot(onLevel, kernel.Row(kernel.PressureTangentRe, p));
            if (parameters[p].Way == way)
            {
                change += Dot(onPhase, kernel.Row(kernel.OwnTangentIm, p))
                    + Dot(workspace.OnLog, kernel.Row(kernel.OwnTangentRe, p));
                // A way nowhere within 10 dB of the whole arrives after its path at the speed of sound.
                change += unheard && parameters[p].Kind == ParameterKind.TubeLength ? scale[p] / workspace.Tables.Problem.Ear.Air.SoundSpeed : 0;
            }

            row[p] += factor * change;
        }
    }

    private static void AddScaled(NormalEquations equations, double factor, double residual, ReadOnlySpan<double> row)
    {
        Span<double> scaled = stackalloc double[row.Length];
        for (int p = 0; p < row.Length; p++)
        {
            scaled[p] = factor * row[p];
        }

        equations.Add(factor * residual, scaled);
    }

    private static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        Vector256<double> sum = default;
        for (int k = 0; k < a.Length; k += FrequencyGrid.Lanes)
        {
            sum = Vector256.FusedMultiplyAdd(Vector256.Create(a.Slice(k, 4)), Vector256.Create(b.Slice(k, 4)), sum);
        }

        return (sum[0] + sum[2]) + (sum[1] + sum[3]);
    }
}
