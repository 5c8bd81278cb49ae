using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// What ways cost that arrive apart: w_a·(2/n)·Σ over pairs (apart / limit)² for n ways, which for two ways is the spread squared. It has no
/// kink where another way becomes the latest, as the spread has; a search gets stuck on kinks.
/// </summary>
internal static class ArrivalCost
{
    private const double ArrivalPenalty = 30;

    /// <summary>The cost, its penalty and the spread of the arrivals (latest − earliest), s; minimum phases of the shares must be there.</summary>
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
        double limit = problem.Phase.ArrivalLimit, weight = 2 * problem.Cost.Arrival / ways.Length, cost = 0, penalty = 0;
        int count = equations?.Count ?? 0;
        Span<double> row = stackalloc double[count], tangents = stackalloc double[ways.Length * count];
        if (count > 0 && workspace.Tables.PathArrivals)
        {
            for (int at = 0; at < tangents.Length; at++)
            {
                KernelParameter parameter = parameters[at % count];
                tangents[at] = parameter.Way == at / count && parameter.Kind == ParameterKind.TubeLength ? scale[at % count] / problem.Ear.Air.SoundSpeed : 0;
            }
        }
        else if (count > 0)
        {
            Tangents(workspace, ways.Length, parameters, scale, tangents);
        }

        for (int i = 1; i < ways.Length; i++)
        {
            for (int j = 0; j < i; j++)
            {
                double apart = (arrivals[i].Delay - arrivals[j].Delay) / limit, beyond = Math.Max(Math.Abs(apart) - CostFunction.Margin, 0);
                cost += weight * apart * apart;
                penalty += ArrivalPenalty * beyond * beyond;
                for (int p = 0; p < count; p++)
                {
                    row[p] = (tangents[(i * count) + p] - tangents[(j * count) + p]) / limit;
                }

                if (count > 0)
                {
                    equations!.Add(apart, row, weight);
                }

                if (count > 0 && beyond > 0)
                {
                    equations!.Add(Math.Sign(apart) * beyond, row, ArrivalPenalty);
                }
            }
        }

        return (cost, penalty, arrivals[late].Delay - arrivals[early].Delay);
    }

    /// <summary>Arrival of each way, s, from the shares of the last evaluation.</summary>
    public static void Arrivals(ReadOnlySpan<double> delays, CostWorkspace workspace, Span<double> arrivals)
    {
        Arrival figure = workspace.Tables.Arrival;
        for (int i = 0; i < arrivals.Length; i++)
        {
            workspace.Tables.MinimumPhase.Apply(workspace.ShareLog(i), workspace.ShareMinimum(i), BandSums.Start(figure.From), BandSums.End(figure.To));
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
            workspace.Arrivals[i] = workspace.Tables.PathArrivals ? new(delays[i], delays[i], 0) : workspace.Tables.Arrival.Of(
                workspace.ShareLog(i),
                workspace.WholeLog,
                workspace.SharePhase(i),
                workspace.ShareMinimum(i),
                delays[i],
                workspace.Kernel.Row(workspace.Theta, i));
        }
    }

    /// <summary>
    /// ∂(arrival)/∂θ of every way, s, a row a way. An arrival is a weighted sum over frequency of the phase and level of the way's share,
    /// and through the fade of the level of the whole.
    /// </summary>
    private static void Tangents(
        CostWorkspace workspace, int ways, ReadOnlySpan<KernelParameter> parameters, ReadOnlySpan<double> scale, Span<double> tangents)
    {
        KernelWorkspace kernel = workspace.Kernel;
        Arrival figure = workspace.Tables.Arrival;
        int n = workspace.Tables.Grid.Count;
        for (int i = 0; i < ways; i++)
        {
            Slopes(workspace, i, kernel.Row(workspace.OnPhase, i), kernel.Row(workspace.OnLevel, i));
        }

        workspace.Tables.MinimumPhase.ApplyTransposed(workspace.OnPhase, workspace.OnLog, ways, figure.From, figure.To);
        for (int i = 0; i < ways; i++)
        {
            Subtract(kernel.Row(workspace.OnLevel, i), kernel.Row(workspace.OnLog, i), kernel.Row(workspace.OnLog, i));
        }

        Common(workspace, ways, parameters.Length, tangents);
        for (int p = 0; p < parameters.Length; p++)
        {
            int way = parameters[p].Way;
            tangents[(way * parameters.Length) + p] +=
                BandSums.Dot(kernel.Row(workspace.OnPhase, way), kernel.Row(kernel.OwnTangentIm, p), figure.From, figure.To)
                + BandSums.Dot(kernel.Row(workspace.OnLog, way), kernel.Row(kernel.OwnTangentRe, p), 0, n);

            // A way nowhere within 10 dB of the whole arrives after its path at the speed of sound.
            if (workspace.Arrivals[way].Square == 0 && parameters[p].Kind == ParameterKind.TubeLength)
            {
                tangents[(way * parameters.Length) + p] += scale[p] / workspace.Tables.Problem.Ear.Air.SoundSpeed;
            }
        }
    }

    /// <summary>What comes of the changes that all shares have in common, two ways by two values so that each number loaded is used twice.</summary>
    private static void Common(CostWorkspace workspace, int ways, int count, Span<double> tangents)
    {
        KernelWorkspace kernel = workspace.Kernel;
        Arrival figure = workspace.Tables.Arrival;
        for (int i = 0; i < ways; i += 2)
        {
            // Of an odd number the last is worked on twice.
            int j = Math.Min(i + 1, ways - 1);
            for (int p = 0; p < count; p += 2)
            {
                int q = Math.Min(p + 1, count - 1);
                (double ip, double iq, double jp, double jq) phase = Dots(workspace.OnPhase, kernel.CommonTangentIm, figure.From, figure.To);
                (double ip, double iq, double jp, double jq) log = Dots(workspace.OnLog, kernel.CommonTangentRe, 0, kernel.Grid.Count);
                (double ip, double iq, double jp, double jq) level = Dots(workspace.OnLevel, kernel.PressureTangentRe, figure.From, figure.To);
                tangents[(i * count) + p] = phase.ip + log.ip - level.ip;
                tangents[(i * count) + q] = phase.iq + log.iq - level.iq;
                tangents[(j * count) + p] = phase.jp + log.jp - level.jp;
                tangents[(j * count) + q] = phase.jq + log.jq - level.jq;

                (double, double, double, double) Dots(double[] on, double[] tangent, int from, int to) =>
                    BandSums.Dots(kernel.Row(on, i), kernel.Row(on, j), kernel.Row(tangent, p), kernel.Row(tangent, q), from, to);
            }
        }
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
