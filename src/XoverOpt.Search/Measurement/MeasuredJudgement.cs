using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// Figures of measured curves by the arithmetic builds are judged by, on the same grid. What a curve was not measured at is not made up: figures
/// are taken over the measured part of their bands. Only the minimum phase needs the magnitude beyond, where the slope of the outermost octave goes on;
/// how far that matters is told (<see cref="MeasuredFigures.PhaseDoubtDeg"/>).
/// </summary>
public sealed class MeasuredJudgement
{
    private const int PointsPerOctave = 24;
    private const double SteepestDbPerOctave = 36;
    private const double NotchDb = 3;
    private const double FewestOctaves = 1;

    /// <summary>2^(1/24): what is missing of a band within one step of the grid is not worth a word.</summary>
    private const double OneStep = 1.0293;
    private readonly FrequencyGrid _grid = FrequencyGrid.Standard(PointsPerOctave);
    private readonly MinimumPhase _minimumPhase;
    private readonly Target? _target;
    private readonly PhaseGoal _phase;

    /// <param name="target">The wanted response; null for none.</param>
    /// <param name="phase">What is asked of the phase.</param>
    public MeasuredJudgement(Target? target, PhaseGoal phase)
    {
        _target = target;
        _phase = phase;
        _minimumPhase = new(_grid);
    }

    /// <summary>The figures of a curve.</summary>
    public MeasuredFigures Of(MeasuredCurve curve)
    {
        List<string> unknown = [];
        double[]? level = curve.LevelDb is { } db ? OnGrid(curve.Hz, db) : null, ohm = curve.ImpedanceOhm is { } z ? OnGrid(curve.Hz, z) : null;
        double[] error = None(), minimum = None(), excess = None();
        MeasuredFigures figures = new()
        {
            Name = curve.Name,
            MeasuredHz = (curve.LowHz, curve.HighHz),
            SplDb = curve.IsSpl ? (At(level, 500), At(level, 1000)) : default,
            ImpedanceMinOhm = ohm is null ? null : Least(ohm),
            Impedance1kHzOhm = At(ohm, 1000),
            Unknown = unknown,
            OnGrid = new(_grid.Hz, level ?? None(), error, minimum, excess, ohm ?? None()),
        };
        if (level is null || !level.Any(double.IsFinite))
        {
            unknown.Add("magnitude, phase and delay: " + (level is null ? "no level was measured" : "the curve is too short"));
            return figures;
        }

        figures = WithPhase(WithMagnitude(figures, curve, level, error, unknown), curve, level, minimum, excess, unknown);
        unknown.Add("summing loss and arrival of the ways: one curve shows their sum only");
        return figures with { Notches = [.. Notches(level, figures.PhaseHz is null ? null : excess)] };
    }

    private MeasuredFigures WithMagnitude(MeasuredFigures figures, MeasuredCurve curve, double[] level, double[] error, List<string> unknown)
    {
        if (_target is not { } target)
        {
            return figures;
        }

        (double low, double high) = Common(curve, target.BandLowHz, target.BandHighHz);
        (double levelLow, double levelHigh) = Common(curve, target.LevelLowHz, target.LevelHighHz);
        bool absolute = target.Level == LevelKind.Absolute;
        if (high < 2 * low || (absolute && !curve.IsSpl) || (!absolute && levelHigh < 1.1 * levelLow))
        {
            unknown.Add(absolute && !curve.IsSpl ? "magnitude error: the target is absolute, and the curve's level has no reference"
                : "magnitude error: too little of the target's band or level band was measured");
            return figures;
        }

        if (low > target.BandLowHz * OneStep || high < target.BandHighHz / OneStep)
        {
            unknown.Add(Text($"magnitude error outside {low:0.#} to {high:0.#} Hz, where the target goes from {target.BandLowHz:0.#} to {target.BandHighHz:0.#} Hz"));
        }

        MagnitudeError measure = new(
            [.. _grid.Hz.Select(target.Curve.At)],
            _grid.BandWeights(low, high, target.Weights.At),
            _grid.BandWeights(low, high),
            absolute ? null : _grid.BandWeights(levelLow, levelHigh, target.Weights.At));
        double[] all = new double[_grid.Count];
        (double rms, double max) = measure.Of(LogMagnitude(level, sloping: false), all);
        Array.Copy(all, measure.From, error, measure.From, measure.To - measure.From);
        return figures with { MagnitudeHz = (low, high), MagnitudeRmsDb = rms, MagnitudeMaxDb = max };
    }

    private MeasuredFigures WithPhase(MeasuredFigures figures, MeasuredCurve curve, double[] level, double[] minimum, double[] excess, List<string> unknown)
    {
        (double low, double high) = Common(curve, _phase.BandLowHz, _phase.BandHighHz);
        if (curve.PhaseDeg is null || Math.Log2(high / low) < FewestOctaves)
        {
            unknown.Add(curve.PhaseDeg is null ? "excess phase and delay: no phase was measured" : "excess phase and delay: less than an octave of the phase band was measured");
            return figures;
        }

        if (low > _phase.BandLowHz * OneStep || high < _phase.BandHighHz / OneStep)
        {
            unknown.Add(Text($"excess phase outside {low:0.#} to {high:0.#} Hz, where the phase band goes from {_phase.BandLowHz:0.#} to {_phase.BandHighHz:0.#} Hz"));
        }

        PhaseDeviation measure = new(_grid.Omega, _grid.BandWeights(low, high));
        double[] phase = Filled(OnGrid(curve.Hz, Followed(curve.Hz, curve.PhaseDeg)), 0, 0);
        for (int k = 0; k < phase.Length; k++)
        {
            phase[k] *= Math.PI / 180;
        }

        (double[] sloping, double[] flat) = (MinimumOf(level, true), MinimumOf(level, false));
        double[] zero = new double[_grid.Count], here = new double[_grid.Count], other = new double[_grid.Count];
        bool removed = _phase.Kind == PhaseKind.Excess;
        double nominal = Delay(measure, phase, sloping);
        (double rms, double max, double delay) = measure.Of(phase, removed ? sloping : zero, nominal, here);
        measure.Of(phase, removed ? flat : zero, Delay(measure, phase, flat), other);
        double doubt = 0;
        for (int k = measure.From; k < measure.To; k++)
        {
            doubt = Math.Max(doubt, Math.Abs(here[k] - other[k]));
            excess[k] = here[k] * 180 / Math.PI;
            minimum[k] = sloping[k] * 180 / Math.PI;
        }

        return figures with
        {
            PhaseHz = (low, high),
            PhaseRmsDeg = rms * 180 / Math.PI,
            PhaseMaxDeg = max * 180 / Math.PI,
            PhaseDoubtDeg = doubt * 180 / Math.PI,
            DelayUs = (delay + curve.PhaseOriginS) * 1e6,
        };
    }

    /// <summary>Dips by at least 3 dB below what there is within half an octave on either side, which must have been measured.</summary>
    private IEnumerable<MeasuredNotch> Notches(double[] level, double[]? excess)
    {
        const int Reach = PointsPerOctave / 2, Beside = PointsPerOctave / 4;
        for (int k = Reach; k < level.Length - Reach; k++)
        {
            double[] left = level[(k - Reach)..k], right = level[(k + 1)..(k + Reach + 1)];
            double depth = Math.Min(left.Max(), right.Max()) - level[k];
            if (!left.Concat(right).All(double.IsFinite) || !(depth >= NotchDb) || left.Min() < level[k] || right.Min() <= level[k])
            {
                continue;
            }

            double? step = excess is not null && double.IsFinite(excess[k - Beside]) && double.IsFinite(excess[k + Beside]) ? excess[k + Beside] - excess[k - Beside] : null;
            yield return new(_grid.Hz[k], depth, step);
        }
    }

    private double[] MinimumOf(double[] level, bool sloping)
    {
        double[] phase = new double[_grid.Count];
        _minimumPhase.Apply(LogMagnitude(level, sloping), phase, 0, _grid.Count);
        return phase;
    }

    /// <summary>ln|p| on the whole grid: as measured, and beyond going on with the slope of the outermost octave, or level.</summary>
    private static double[] LogMagnitude(double[] level, bool sloping)
    {
        int from = Array.FindIndex(level, double.IsFinite), to = Array.FindLastIndex(level, double.IsFinite);
        int octave = Math.Min(PointsPerOctave, to - from);
        double low = 0, high = 0;
        if (sloping)
        {
            low = Math.Clamp((level[from + octave] - level[from]) / octave, -SteepestDbPerOctave / PointsPerOctave, SteepestDbPerOctave / PointsPerOctave);
            high = Math.Clamp((level[to] - level[to - octave]) / octave, -SteepestDbPerOctave / PointsPerOctave, SteepestDbPerOctave / PointsPerOctave);
        }

        double reference = Math.Log(MeasuredCurve.ReferencePressure);
        return [.. Filled(level, low, high).Select(db => (db / MagnitudeError.DbPerNeper) + reference)];
    }

    /// <summary>Delay to begin with, s: slope of phase less minimum phase by ω, beside a constant, over the band.</summary>
    private double Delay(PhaseDeviation measure, double[] phase, double[] minimum)
    {
        double w = 0, wo = 0, woo = 0, wp = 0, wop = 0;
        for (int k = measure.From; k < measure.To; k++)
        {
            double weight = measure.Weights[k], omega = _grid.Omega[k], rest = phase[k] - minimum[k];
            (w, wo, woo, wp, wop) = (w + weight, wo + (weight * omega), woo + (weight * omega * omega), wp + (weight * rest), wop + (weight * omega * rest));
        }

        return -((w * wop) - (wo * wp)) / ((w * woo) - (wo * wo));
    }

    /// <summary>The phase without jumps, degrees: each point takes the whole turns that bring it nearest to where the two before it point.</summary>
    private static double[] Followed(double[] hz, double[] phase)
    {
        double[] followed = [.. phase];
        for (int k = 1; k < hz.Length; k++)
        {
            double expected = followed[k - 1] + (k > 1 ? (followed[k - 1] - followed[k - 2]) / (hz[k - 1] - hz[k - 2]) * (hz[k] - hz[k - 1]) : 0);
            followed[k] = phase[k] - (360 * Math.Round((phase[k] - expected) / 360));
        }

        return followed;
    }

    /// <summary>Values on the grid, not a number outside what was measured.</summary>
    private double[] OnGrid(double[] hz, double[] values)
    {
        LogCurve curve = new(hz, values);
        return [.. _grid.Hz.Select(f => f >= hz[0] * (1 - 1e-9) && f <= hz[^1] * (1 + 1e-9) ? curve.At(f) : double.NaN)];
    }

    private static double[] Filled(double[] values, double lowSlope, double highSlope)
    {
        int from = Array.FindIndex(values, double.IsFinite), to = Array.FindLastIndex(values, double.IsFinite);
        return [.. values.Select((value, k) => k < from ? values[from] + ((k - from) * lowSlope) : k > to ? values[to] + ((k - to) * highSlope) : value)];
    }

    private static (double Low, double High) Common(MeasuredCurve curve, double low, double high) => (Math.Max(low, curve.LowHz), Math.Min(high, curve.HighHz));

    private double? Least(double[] ohm)
    {
        double least = double.NaN;
        for (int k = 0; k < ohm.Length; k++)
        {
            bool inside = _target is null || (_grid.Hz[k] >= _target.BandLowHz && _grid.Hz[k] <= _target.BandHighHz);
            least = inside && double.IsFinite(ohm[k]) && !(ohm[k] >= least) ? ohm[k] : least;
        }

        return double.IsNaN(least) ? null : least;
    }

    private double? At(double[]? values, double hz) => values?[_grid.Nearest(hz)] is { } value && double.IsFinite(value) ? value : null;

    private double[] None() => [.. Enumerable.Repeat(double.NaN, _grid.Count)];

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
