using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Evaluates whole builds for people: response, figures, cost. The same arithmetic the search ranks by, on its finest grid.</summary>
public sealed class BuildEvaluation
{
    private readonly ProblemTables _tables;

    /// <summary>Prepares the tables for a problem.</summary>
    public BuildEvaluation(Problem problem)
        : this(problem, new ProblemTables(problem, 24))
    {
    }

    internal BuildEvaluation(Problem problem, ProblemTables tables)
    {
        Problem = problem;
        _tables = tables;
    }

    /// <summary>The problem.</summary>
    public Problem Problem { get; }

    /// <summary>Response on the standard grid of the figures (24 points an octave, about 5 Hz to 75 kHz).</summary>
    public EarpieceResponse Response(Earpiece earpiece) => Response(earpiece, _tables.Grid, _tables.Ear, _tables.Ways(earpiece));

    /// <summary>Response at stated frequencies, Hz.</summary>
    public EarpieceResponse Response(Earpiece earpiece, IReadOnlyList<double> hz)
    {
        var grid = FrequencyGrid.Of(hz);
        KernelWay[] ways = [.. earpiece.Ways.Select(way => new KernelWay(
            way,
            new ReceiverTable(way.Receiver, grid, Problem.Ear.Air),
            [.. way.Tube.Select(piece => new BoreTable(piece.Bore, grid, Problem.Ear.Air))]))];
        EarpieceResponse padded = Response(earpiece, grid, new EarTable(Problem.Ear, grid), ways);
        int n = hz.Count;
        return new(padded.Hz[..n], padded.Pressure[..n], padded.Impedance[..n], [.. padded.Ways.Select(way => way with { Pressure = way.Pressure[..n] })]);
    }

    /// <summary>The build with its cost, figures and limits judged (rank 0: not in a list).</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="relaxedCost">Cost of its layout with ideal values, where known.</param>
    public RankedBuild Judge(Earpiece earpiece, double relaxedCost = double.NaN)
    {
        var workspace = new CostWorkspace(_tables);
        KernelWay[] ways = _tables.Ways(earpiece);
        CostFigures cost = CostFunction.Evaluate(ways, workspace, null, [], []);
        PartsBill bill = PartsBill.Of(earpiece, Problem);
        BuildFigures figures = Figures(earpiece, ways, workspace, cost, bill);
        IReadOnlyList<BrokenLimit> broken = LimitCheck.Broken(Problem, earpiece, figures, bill);
        return new(
            0,
            earpiece,
            cost.Cost,
            figures,
            broken.Count == 0,
            broken.Sum(limit => limit.Excess),
            [.. broken.Select(limit => limit.Words)],
            relaxedCost,
            BuildKey.Of(earpiece));
    }

    private BuildFigures Figures(Earpiece earpiece, KernelWay[] ways, CostWorkspace workspace, CostFigures cost, PartsBill bill)
    {
        KernelWorkspace kernel = workspace.Kernel;
        int at500 = _tables.Grid.Nearest(500), at1k = _tables.Grid.Nearest(1000);
        var admittance500 = new Complex(kernel.AdmittanceRe[at500], kernel.AdmittanceIm[at500]);
        var admittance1k = new Complex(kernel.AdmittanceRe[at1k], kernel.AdmittanceIm[at1k]);
        double spl500 = LimitCost.SplAt(kernel, at500, 0.1), spl1k = LimitCost.SplAt(kernel, at1k, 0.1);
        // 1 mW into the socket needs the voltage √(P / Re Y).
        double mw500 = LimitCost.SplAt(kernel, at500, Math.Sqrt(1e-3 / admittance500.Real));
        double mw1k = LimitCost.SplAt(kernel, at1k, Math.Sqrt(1e-3 / admittance1k.Real));
        double shift = SourceShift(kernel);
        double[] delays = new double[ways.Length], arrivals = new double[ways.Length];
        ArrivalCost.PathDelays(ways, Problem.Ear.Air, delays);
        ArrivalCost.Arrivals(delays, workspace, arrivals);
        return new()
        {
            MagnitudeRmsDb = cost.MagnitudeRmsDb,
            MagnitudeMaxDb = cost.MagnitudeMaxDb,
            PhaseRmsDeg = cost.PhaseRms * 180 / Math.PI,
            PhaseMaxDeg = cost.PhaseMax * 180 / Math.PI,
            ArrivalSpreadUs = cost.ArrivalSpread * 1e6,
            ArrivalUs = [.. arrivals.Select(arrival => arrival * 1e6)],
            SummingLossDb = cost.SummingLossDb,
            SplAt100mV = spl500,
            SplAt100mV1kHz = spl1k,
            SplAt1mW = mw500,
            SplAt1mW1kHz = mw1k,
            ImpedanceMinOhm = cost.ImpedanceMin,
            Impedance1kHzOhm = 1 / admittance1k.Magnitude,
            SourceShiftDb = shift,
            Headroom = [.. HeadroomAt(earpiece)],
            PartsCost = bill.Cost,
            UnpricedParts = bill.Unpriced,
            Receivers = earpiece.Ways.Sum(way => way.Count),
            Parts = bill.Parts,
            BodyVolumeMm3 = bill.BodyVolume * 1e9,
        };
    }

    private IEnumerable<PeakHeadroom> HeadroomAt(Earpiece earpiece)
    {
        IEnumerable<double> hz = Problem.Limits.MinPeakSpl.Select(peak => peak.Hz);
        foreach (double f in hz.Concat([50, 1000]).Distinct().Order())
        {
            var headroom = Headroom.At(earpiece, Problem.Ear, f);
            if (headroom.Way >= 0 && headroom.Known)
            {
                yield return new(f, headroom.Spl, earpiece.Ways[headroom.Way].Name, headroom.ByTravel ? "armature travel" : "coil current", headroom.SocketVoltage);
            }
        }
    }

    /// <summary>
    /// Largest change of response shape (relative to 1 kHz) over the target band when the source goes from 0 to 10 Ω, dB: the socket
    /// voltage becomes 1/(1 + R·Y).
    /// </summary>
    private double SourceShift(KernelWorkspace kernel)
    {
        const double SourceOhm = 10;
        double Drop(int k) => -20 * Math.Log10((1 + (SourceOhm * new Complex(kernel.AdmittanceRe[k], kernel.AdmittanceIm[k]))).Magnitude);
        double reference = Drop(_tables.Grid.Nearest(1000)), largest = 0;
        for (int k = _tables.Magnitude.From; k < _tables.Magnitude.To; k++)
        {
            largest = Math.Max(largest, Math.Abs(Drop(k) - reference));
        }

        return largest;
    }

    private EarpieceResponse Response(Earpiece earpiece, FrequencyGrid grid, EarTable ear, KernelWay[] ways)
    {
        var kernel = new KernelWorkspace(grid);
        EarpieceKernel.Evaluate(ways, ear, Problem.Source, kernel, [], []);
        return new(
            [.. grid.Hz],
            Join(kernel.PressureRe, kernel.PressureIm),
            [.. Join(kernel.AdmittanceRe, kernel.AdmittanceIm).Select(Complex.Reciprocal)],
            [.. earpiece.Ways.Select((way, i) => new WayShare(way.Name, Join(kernel.Row(kernel.ShareRe, i), kernel.Row(kernel.ShareIm, i))))]);
    }

    private static Complex[] Join(ReadOnlySpan<double> re, ReadOnlySpan<double> im)
    {
        var joined = new Complex[re.Length];
        for (int k = 0; k < re.Length; k++)
        {
            joined[k] = new(re[k], im[k]);
        }

        return joined;
    }
}
