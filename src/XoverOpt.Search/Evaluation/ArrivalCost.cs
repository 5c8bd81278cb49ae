using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>What late or early ways cost.</summary>
internal static class ArrivalCost
{
    private const double ArrivalPenalty = 30;

    /// <summary>The cost of the arrival spread, its penalty and the spread, s; minimum phases of the shares must be there.</summary>
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

        Fit(delays, workspace);
        Arrival.Fit[] arrivals = workspace.Arrivals;
        int early = 0, late = 0;
        for (int i = 1; i < ways.Length; i++)
        {
            early = arrivals[i].Delay < arrivals[early].Delay ? i : early;
            late = arrivals[i].Delay > arrivals[late].Delay ? i : late;
        }

        Problem problem = workspace.Tables.Problem;
        double spread = arrivals[late].Delay - arrivals[early].Delay, limit = problem.Phase.ArrivalLimit;
        double weight = problem.Cost.Arrival, beyond = Math.Max((spread / limit) - CostFunction.Margin, 0);
        double penalty = ArrivalPenalty * beyond * beyond;
        if (equations is not null && equations.Count > 0)
        {
            Span<double> row = stackalloc double[equations.Count];
            SpreadTangent(workspace, late, early, parameters, scale, row);
            for (int p = 0; p < row.Length; p++)
            {
                row[p] /= limit;
            }

            equations.Add(spread / limit, row, weight);
            if (beyond > 0)
            {
                equations.Add(beyond, row, ArrivalPenalty);
            }
        }

        return (weight * (spread / limit) * (spread / limit), penalty, spread);
    }

    /// <summary>Arrival of each way, s, from the shares of the last evaluation.</summary>
    public static void Arrivals(ReadOnlySpan<double> delays, CostWorkspace workspace, Span<double> arrivals)
    {
        Arrival figure = workspace.Tables.Arrival;
        for (int i = 0; i < arrivals.Length; i++)
        {
            workspace.Tables.MinimumPhase.Apply(workspace.ShareLog(i), workspace.ShareMinimum(i), figure.From, figure.To);
        }

        Fit(delays, workspace);
        for (int i = 0; i < arrivals.Length; i++)
        {
            arrivals[i] = workspace.Arrivals[i].Delay;
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

    private static void Fit(ReadOnlySpan<double> delays, CostWorkspace workspace)
    {
        for (int i = 0; i < delays.Length; i++)
        {
            workspace.Arrivals[i] = workspace.Tables.Arrival.Of(
                workspace.ShareLog(i),
                workspace.WholeLog,
                workspace.SharePhase(i),
                workspace.ShareMinimum(i),
                delays[i],
                workspace.Kernel.Row(workspace.Theta, i));
        }
    }

    /// <summary>
    /// ∂(arrival of the latest − arrival of the earliest)/∂θ, s. Both are weighted sums over frequency of the phases and levels of their
    /// shares; what shares have in common is summed once, with the difference of the weights.
    /// </summary>
    private static void SpreadTangent(
        CostWorkspace workspace, int late, int early, ReadOnlySpan<KernelParameter> parameters, ReadOnlySpan<double> scale, Span<double> row)
    {
        KernelWorkspace kernel = workspace.Kernel;
        Arrival figure = workspace.Tables.Arrival;
        int n = workspace.Tables.Grid.Count;
        Span<double> onPhase = kernel.Row(workspace.OnPhase, 0), onLevel = kernel.Row(workspace.OnLevel, 0), onLog = kernel.Row(workspace.OnLog, 0);
        Span<double> earlyPhase = kernel.Row(workspace.OnPhase, 1), earlyLevel = kernel.Row(workspace.OnLevel, 1), earlyLog = kernel.Row(workspace.OnLog, 1);
        Slopes(workspace, late, onPhase, onLevel);
        Slopes(workspace, early, earlyPhase, earlyLevel);
        workspace.Tables.MinimumPhase.ApplyTransposed(onPhase, earlyPhase, onLog, earlyLog, figure.From, figure.To);
        Subtract(onLevel, onLog, onLog);
        Subtract(earlyLevel, earlyLog, earlyLog);

        // Own changes first, while the rows are still each way's own.
        for (int p = 0; p < parameters.Length; p++)
        {
            double change = 0;
            if (parameters[p].Way == late)
            {
                change += BandSums.Dot(onPhase, kernel.Row(kernel.OwnTangentIm, p), figure.From, figure.To)
                    + BandSums.Dot(onLog, kernel.Row(kernel.OwnTangentRe, p), 0, n) + Unheard(late, p, scale, parameters);
            }

            if (parameters[p].Way == early)
            {
                change -= BandSums.Dot(earlyPhase, kernel.Row(kernel.OwnTangentIm, p), figure.From, figure.To)
                    + BandSums.Dot(earlyLog, kernel.Row(kernel.OwnTangentRe, p), 0, n) + Unheard(early, p, scale, parameters);
            }

            row[p] = change;
        }

        Subtract(onPhase, earlyPhase, onPhase);
        Subtract(onLevel, earlyLevel, onLevel);
        Subtract(onLog, earlyLog, onLog);
        for (int p = 0; p < parameters.Length; p++)
        {
            row[p] += BandSums.Dot(onPhase, kernel.Row(kernel.CommonTangentIm, p), figure.From, figure.To)
                + BandSums.Dot(onLog, kernel.Row(kernel.CommonTangentRe, p), 0, n)
                - BandSums.Dot(onLevel, kernel.Row(kernel.PressureTangentRe, p), figure.From, figure.To);
        }

        // A way nowhere within 10 dB of the whole arrives after its path at the speed of sound.
        double Unheard(int way, int p, ReadOnlySpan<double> scale, ReadOnlySpan<KernelParameter> parameters) =>
            workspace.Arrivals[way].Square == 0 && parameters[p].Kind == ParameterKind.TubeLength
                ? scale[p] / workspace.Tables.Problem.Ear.Air.SoundSpeed
                : 0;
    }

    private static void Slopes(CostWorkspace workspace, int way, Span<double> onPhase, Span<double> onLevel) => workspace.Tables.Arrival.Slopes(
        workspace.Arrivals[way], workspace.ShareLog(way), workspace.WholeLog, workspace.Kernel.Row(workspace.Theta, way), onPhase, onLevel);

    private static void Subtract(ReadOnlySpan<double> a, ReadOnlySpan<double> b, Span<double> difference)
    {
        for (int k = 0; k < difference.Length; k++)
        {
            difference[k] = a[k] - b[k];
        }
    }
}
