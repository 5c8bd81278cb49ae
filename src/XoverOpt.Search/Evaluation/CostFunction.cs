using System.Runtime.Intrinsics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// The cost of a candidate, in one place. Zero means on target; a cost of one is about what a whole tolerance used up costs.
/// <code>
/// magnitude  w_m (2·RMS / tolerance)²                 RMS error of half the tolerance costs 1
/// phase      w_p (2·RMS / limit)²                     over the phase band
/// arrival    w_a (spread / limit)²
/// summing    w_s · mean over the target band of (loss / 3 dB)²
/// penalty    3000 · mean of (excess of |error| beyond 95 % of the tolerance / tolerance)², likewise for phase,
///            30 · (arrival spread beyond 95 % / limit)²,
///            3000 · mean of (missing part of the lowest impedance)²,   (dB missing from the least SPL at 100 mV)²
/// </code>
/// Penalties start at 95 % so that what a search calls good keeps the limits themselves. Every term is a sum of squares, so the
/// Gauss–Newton matrix comes with the value.
/// </summary>
public static class CostFunction
{
    private const double Margin = 0.95;
    private const double BandPenalty = 3000;
    private const double ArrivalPenalty = 30;
    private const double SummingScale = 3 / MagnitudeError.DbPerNeper;

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
    public static CostFigures Evaluate(
        ReadOnlySpan<KernelWay> ways,
        CostWorkspace workspace,
        NormalEquations? equations,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        ProblemTables tables = workspace.Tables;
        Problem problem = tables.Problem;
        KernelWorkspace kernel = workspace.Kernel;
        EarpieceKernel.Evaluate(ways, tables.Ear, problem.Source, kernel, parameters, scale);
        PolarForm.Of(kernel.PressureRe, kernel.PressureIm, workspace.WholeLog, workspace.WholePhase);
        int used = ways.Length * tables.Grid.Count;
        PolarForm.Of(kernel.ShareRe.AsSpan(0, used), kernel.ShareIm.AsSpan(0, used), workspace.ShareLog.AsSpan(0, used), workspace.SharePhase.AsSpan(0, used));

        (double magnitude, double magnitudePenalty, double rms, double max) = Magnitude(workspace, equations);
        Span<double> delays = stackalloc double[ways.Length];
        PathDelays(ways, problem.Ear.Air, delays);
        double nominal = 0;
        foreach (double delay in delays)
        {
            nominal += delay / ways.Length;
        }

        (double phase, double phasePenalty, double phaseRms, double phaseMax) = Phase(workspace, nominal, equations);
        (double arrival, double arrivalPenalty, double spread) = ArrivalSpread(ways, delays, workspace, equations, parameters, scale);
        (double summing, double loss) = Summing(ways.Length, workspace, equations, parameters);
        (double limits, double spl, double impedance) = LimitPenalties(workspace, equations);
        double penalty = magnitudePenalty + phasePenalty + arrivalPenalty + limits;
        return new CostFigures(
            new CostBreakdown(magnitude + phase + arrival + summing + penalty, magnitude, phase, arrival, summing, penalty),
            rms,
            max,
            phaseRms,
            phaseMax,
            spread,
            loss,
            spl,
            impedance);
    }

    private static (double Cost, double Penalty, double Rms, double Max) Magnitude(CostWorkspace workspace, NormalEquations? equations)
    {
        ProblemTables tables = workspace.Tables;
        MagnitudeError figure = tables.Magnitude;
        double tolerance = tables.Problem.Target.ToleranceDb;
        (double rms, double max) = figure.Of(workspace.WholeLog, workspace.Error);
        double weight = 4 * tables.Problem.Cost.Magnitude / (tolerance * tolerance);
        double penalty = Block(
            workspace, figure.Weights, figure.Band, workspace.Error, weight, Margin * tolerance, BandPenalty / (tolerance * tolerance), figure.From, figure.To);
        if (equations is not null)
        {
            for (int p = 0; p < equations.Count; p++)
            {
                figure.Tangent(workspace.Kernel.Row(workspace.Kernel.PressureTangentRe, p), workspace.Kernel.Row(workspace.Tangents, p));
            }

            AddBlock(workspace, equations, figure.From, figure.To);
        }

        return (weight * rms * rms, penalty, rms, max);
    }

    private static (double Cost, double Penalty, double Rms, double Max) Phase(CostWorkspace workspace, double nominalDelay, NormalEquations? equations)
    {
        ProblemTables tables = workspace.Tables;
        PhaseDeviation figure = tables.Phase;
        bool excess = tables.Problem.Phase.Kind == PhaseKind.Excess;
        if (excess)
        {
            tables.MinimumPhase.Apply(workspace.WholeLog, workspace.WholeMinimum, figure.From, figure.To);
        }

        (double rms, double max, _) = figure.Of(workspace.WholePhase, workspace.WholeMinimum, nominalDelay, workspace.Deviation);
        double limit = tables.Problem.Phase.LimitDeg * Math.PI / 180;
        double weight = 4 * tables.Problem.Cost.Phase / (limit * limit);
        double penalty = Block(
            workspace, figure.Weights, figure.Weights, workspace.Deviation, weight, Margin * limit, BandPenalty / (limit * limit), figure.From, figure.To);
        if (equations is not null)
        {
            KernelWorkspace kernel = workspace.Kernel;
            if (excess)
            {
                tables.MinimumPhase.ApplyMany(kernel.PressureTangentRe, workspace.MinimumTangents, equations.Count, figure.From, figure.To);
            }

            for (int p = 0; p < equations.Count; p++)
            {
                figure.Tangent(kernel.Row(kernel.PressureTangentIm, p), kernel.Row(workspace.MinimumTangents, p), kernel.Row(workspace.Tangents, p));
            }

            AddBlock(workspace, equations, figure.From, figure.To);
        }

        return (weight * rms * rms, penalty, rms, max);
    }

    private static (double Cost, double Penalty, double Spread) ArrivalSpread(
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
        double weight = tables.Problem.Cost.Arrival, beyond = Math.Max((spread / limit) - Margin, 0);
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
    internal static void Arrivals(ReadOnlySpan<double> delays, CostWorkspace workspace, Span<double> arrivals)
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
    internal static void PathDelays(ReadOnlySpan<KernelWay> ways, Air air, Span<double> delays)
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

    private static (double Cost, double WorstDb) Summing(
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

            AddBlock(workspace, equations, band.From, band.To);
        }

        return (sum, worst);
    }

    private static (double Penalty, double Spl, double ImpedanceMin) LimitPenalties(CostWorkspace workspace, NormalEquations? equations)
    {
        ProblemTables tables = workspace.Tables;
        KernelWorkspace kernel = workspace.Kernel;
        MagnitudeError band = tables.Magnitude;
        double lowest = double.PositiveInfinity, penalty = 0, least = tables.Problem.Limits.MinImpedance ?? 0;
        Array.Clear(workspace.RowWeights);
        Array.Clear(workspace.RowResiduals);
        bool low = false;
        for (int k = band.From; k < band.To; k++)
        {
            double ohm = 1 / Math.Sqrt((kernel.AdmittanceRe[k] * kernel.AdmittanceRe[k]) + (kernel.AdmittanceIm[k] * kernel.AdmittanceIm[k]));
            lowest = Math.Min(lowest, ohm);
            if (ohm < least)
            {
                low = true;
                double missing = 1 - (ohm / least), weight = BandPenalty * band.Band[k];
                penalty += weight * missing * missing;
                workspace.RowWeights[k] = weight * ohm * ohm / (least * least);
                workspace.RowResiduals[k] = -weight * missing * ohm / least;
            }
        }

        if (low && equations is not null)
        {
            equations.AddBlock(
                kernel.ImpedanceTangent, tables.Grid.Count, workspace.RowWeights, workspace.RowResiduals, workspace.Weighted, band.From, band.To);
        }

        int at = tables.Grid.Nearest(500);
        double spl = SplAt(kernel, at, 0.1);
        double shortBy = Math.Max((tables.Problem.Limits.MinSplAt100mV ?? double.NegativeInfinity) + 0.05 - spl, 0);
        if (shortBy > 0 && equations is not null && equations.Count > 0)
        {
            Span<double> row = stackalloc double[equations.Count];
            for (int p = 0; p < row.Length; p++)
            {
                row[p] = -MagnitudeError.DbPerNeper * kernel.SensitivityTangent[(p * tables.Grid.Count) + at];
            }

            equations.Add(shortBy, row);
        }

        return (penalty + (shortBy * shortBy), spl, lowest);
    }

    /// <summary>Eardrum SPL at a grid point for a voltage at the socket, dB re 20 µPa.</summary>
    internal static double SplAt(KernelWorkspace kernel, int at, double volt) =>
        20 * Math.Log10(Math.Sqrt((kernel.PressurePerVoltRe[at] * kernel.PressurePerVoltRe[at]) + (kernel.PressurePerVoltIm[at] * kernel.PressurePerVoltIm[at])) * volt / 20e-6);

    /// <summary>Prepares rows for a figure x(f) that costs weight·w·x² and beyond ±edge also penalty·band·(|x| − edge)²; returns the latter.</summary>
    private static double Block(
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

    private static void AddBlock(CostWorkspace workspace, NormalEquations equations, int from, int to) => equations.AddBlock(
        workspace.Tangents, workspace.Tables.Grid.Count, workspace.RowWeights, workspace.RowResiduals, workspace.Weighted, from, to);

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
