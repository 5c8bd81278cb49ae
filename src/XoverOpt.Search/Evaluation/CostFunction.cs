using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// The cost of a candidate. Zero means on target; an RMS error of half the tolerance costs one.
/// <code>
/// magnitude  w_m (2·RMS / tolerance)²                 RMS error of half the tolerance costs 1
/// phase      w_p (2·RMS / limit)²                     over the phase band
/// arrival    w_a · (2/n) · Σ over the pairs of n ways (apart / limit)²: for two ways the spread squared
/// summing    w_s · mean over the target band of (loss / 3 dB)²
/// penalty    3000 · mean of (excess of |error| beyond 95 % of the tolerance / tolerance)², likewise for phase,
///            30 · Σ over the pairs (apart beyond 95 % / limit)²,
///            3000 · mean of (missing part of the lowest impedance)²,   (dB missing from the least SPL at 100 mV)²,
///            (dB missing from each peak SPL)²
/// </code>
/// Penalties start at 95 % so that what a search calls good keeps the limits themselves. Every term is a sum of squares, so the
/// Gauss–Newton matrix comes with the value.
/// </summary>
public static class CostFunction
{
    internal const double Margin = 0.95;

    /// <summary>Levels are asked for this much above their limit, dB, so that a small trade against the rest of the cost keeps the limit.</summary>
    internal const double LevelMargin = 0.05;

    internal const double BandPenalty = 3000;

    /// <summary>Evaluates the cost; with <paramref name="equations"/>, also its derivatives by the values that are not held.</summary>
    public static CostFigures Evaluate(Candidate candidate, CostWorkspace workspace, NormalEquations? equations)
    {
        Span<KernelParameter> parameters = stackalloc KernelParameter[KernelWorkspace.MaxParameters];
        Span<double> scale = stackalloc double[KernelWorkspace.MaxParameters];
        int free = 0;
        for (int q = 0; equations is not null && q < candidate.Ranges.Length; q++)
        {
            if (!candidate.Held[q])
            {
                parameters[free] = candidate.Ranges[q].Parameter;
                scale[free++] = candidate.Ranges[q].Slope(candidate.Value(q));
            }
        }

        equations?.Reset(free);
        return Evaluate(candidate.Ways, workspace, equations, parameters[..free], scale[..free]);
    }

    /// <summary>Evaluates the cost of any ways the kernel can read.</summary>
    /// <param name="ways">The ways.</param>
    /// <param name="workspace">Where it works.</param>
    /// <param name="equations">Takes the derivatives, reset to the number of parameters; null for none.</param>
    /// <param name="parameters">What to differentiate by, grouped by way.</param>
    /// <param name="scale">∂value/∂θ of each.</param>
    /// <exception cref="OperationCanceledException">What the workspace is used for was broken off.</exception>
    public static CostFigures Evaluate(
        ReadOnlySpan<KernelWay> ways,
        CostWorkspace workspace,
        NormalEquations? equations,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        workspace.BreakOff.ThrowIfCancellationRequested();
        ProblemTables tables = workspace.Tables;
        Problem problem = tables.Problem;
        KernelWorkspace kernel = workspace.Kernel;
        EarpieceKernel.Evaluate(ways, tables.Ear, problem.Source, kernel, parameters, scale);
        Polar(ways.Length, workspace);

        (double magnitude, double magnitudePenalty, double rms, double max) = Magnitude(workspace, equations);
        Span<double> delays = stackalloc double[ways.Length];
        ArrivalCost.PathDelays(ways, problem.Ear.Air, delays);
        double nominal = 0;
        foreach (double delay in delays)
        {
            nominal += delay / ways.Length;
        }

        (double phase, double phasePenalty, double phaseRms, double phaseMax) = Phase(workspace, nominal, equations);
        (double arrival, double arrivalPenalty, double spread) = ArrivalCost.Of(ways, delays, workspace, equations, parameters, scale);
        (double summing, double loss) = SummingCost.Of(ways.Length, workspace, equations, parameters);
        (double limits, double spl, double impedance) = LimitCost.Of(ways, workspace, equations, parameters, scale);
        double peaks = PeakCost.Of(ways, workspace, equations, parameters, scale);
        double penalty = magnitudePenalty + phasePenalty + arrivalPenalty + limits + peaks;
        return new CostFigures(
            new CostBreakdown(magnitude + phase + arrival + summing + penalty, magnitude, phase, arrival, summing, penalty),
            rms,
            max,
            phaseRms,
            phaseMax,
            spread,
            loss,
            spl,
            impedance,
            peaks);
    }

    /// <summary>Sizes, angles and minimum phases of the whole and of the shares; levels everywhere, the rest where a figure looks.</summary>
    private static void Polar(int ways, CostWorkspace workspace)
    {
        ProblemTables tables = workspace.Tables;
        KernelWorkspace kernel = workspace.Kernel;
        PhaseDeviation phase = tables.Phase;
        Arrival arrival = tables.Arrival;
        PolarForm.Of(kernel.PressureRe, kernel.PressureIm, workspace.WholeLog, workspace.WholePhase, [], phase.From, phase.To);
        for (int i = 0; i < ways && ways > 1; i++)
        {
            ReadOnlySpan<double> re = kernel.Row(kernel.ShareRe, i), im = kernel.Row(kernel.ShareIm, i);
            Span<double> size = kernel.Row(workspace.ShareSizes, i);
            if (tables.PathArrivals)
            {
                PolarForm.Magnitudes(re, im, size, BandSums.Start(arrival.From), BandSums.End(arrival.To));
            }
            else
            {
                PolarForm.Of(re, im, workspace.ShareLog(i), workspace.SharePhase(i), size, arrival.From, arrival.To);
            }
        }

        // The whole's minimum phase stays zero where it is not to be taken out.
        int n = tables.Grid.Count, first = tables.Problem.Phase.Kind == PhaseKind.Excess ? 0 : 1, last = ways > 1 && !tables.PathArrivals ? ways : 0;
        // Whole blocks, so that nothing beside a band is an earlier candidate's.
        int from = BandSums.Start(Math.Min(phase.From, arrival.From)), to = BandSums.End(Math.Max(phase.To, arrival.To));
        tables.MinimumPhase.ApplyMany(workspace.Logs.AsSpan(first * n), workspace.Minimum.AsSpan(first * n), 1 + last - first, from, to);
    }

    private static (double Cost, double Penalty, double Rms, double Max) Magnitude(CostWorkspace workspace, NormalEquations? equations)
    {
        ProblemTables tables = workspace.Tables;
        MagnitudeError figure = tables.Magnitude;
        double tolerance = tables.Problem.Target.ToleranceDb;
        (double rms, double max) = figure.Of(workspace.WholeLog, workspace.Error);
        double weight = 4 * tables.Problem.Cost.Magnitude / (tolerance * tolerance);
        double penalty = CostRows.Prepare(
            workspace, figure.Weights, figure.Band, workspace.Error, weight, Margin * tolerance, BandPenalty / (tolerance * tolerance), figure.From, figure.To);
        if (equations is not null)
        {
            for (int p = 0; p < equations.Count; p++)
            {
                figure.Tangent(workspace.Kernel.Row(workspace.Kernel.PressureTangentRe, p), workspace.Kernel.Row(workspace.Tangents, p));
            }

            CostRows.Add(workspace, equations, figure.From, figure.To);
        }

        return (weight * rms * rms, penalty, rms, max);
    }

    private static (double Cost, double Penalty, double Rms, double Max) Phase(CostWorkspace workspace, double nominalDelay, NormalEquations? equations)
    {
        ProblemTables tables = workspace.Tables;
        PhaseDeviation figure = tables.Phase;
        bool excess = tables.Problem.Phase.Kind == PhaseKind.Excess;
        (double rms, double max, _) = figure.Of(workspace.WholePhase, workspace.WholeMinimum, nominalDelay, workspace.Deviation);
        double limit = tables.Problem.Phase.LimitDeg * Math.PI / 180;
        double weight = 4 * tables.Problem.Cost.Phase / (limit * limit);
        double penalty = CostRows.Prepare(
            workspace, figure.Weights, figure.Weights, workspace.Deviation, weight, Margin * limit, BandPenalty / (limit * limit), figure.From, figure.To);
        if (equations is not null)
        {
            KernelWorkspace kernel = workspace.Kernel;
            if (excess)
            {
                tables.MinimumPhase.ApplyMany(kernel.PressureTangentRe, workspace.MinimumTangents, equations.Count, BandSums.Start(figure.From), BandSums.End(figure.To));
            }

            for (int p = 0; p < equations.Count; p++)
            {
                figure.Tangent(kernel.Row(kernel.PressureTangentIm, p), kernel.Row(workspace.MinimumTangents, p), kernel.Row(workspace.Tangents, p));
            }

            CostRows.Add(workspace, equations, figure.From, figure.To);
        }

        return (weight * rms * rms, penalty, rms, max);
    }
}
