using System.Numerics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// <see cref="Headroom"/> of a candidate at a few frequencies, and its derivatives. With the chain cut at the coils' leads or at the
/// diaphragms, M = L·R, x = L₀₀/B and y = R₁₁/B, the current or flow there per volt at the socket is
/// <code>
/// f = s y + τ x p/V      τ = −det R: +1 at the leads, −1 at the diaphragms
/// </code>
/// A change dZ of an element is a source −f_e dZ at the element (f_e its own f, with its own ς for τ, see
/// <see cref="Four.ElementTangent"/>), which reaches the cut by reciprocity; beside that f follows p/V:
/// <code>
/// element before the cut:  df = −y L_e f_e dZ     element behind it:  df = −τ ς L₀₀ y_e f_e dZ
/// </code>
/// </summary>
public static class HeadroomKernel
{
    /// <summary>The loudest, before the first receiver meets a limit.</summary>
    /// <param name="Spl">Eardrum SPL, dB re 20 µPa; infinite where no receiver states a limit.</param>
    /// <param name="Way">Index of the way that meets its limit; −1 for none.</param>
    /// <param name="ByTravel">True for armature travel, false for coil current.</param>
    public readonly record struct Limit(double Spl, int Way, bool ByTravel);

    /// <summary>The limit at grid point <paramref name="k"/> of the last evaluation, which must have had a workspace with motors.</summary>
    public static Limit At(ReadOnlySpan<KernelWay> ways, KernelWorkspace workspace, EarTable ear, int k)
    {
        // Squares throughout: most is the square of the voltage.
        Complex junction = Junction(workspace, ear, k);
        double most = double.PositiveInfinity, omega = workspace.Grid.Omega[k];
        int limiting = -1;
        bool byTravel = false;
        for (int i = 0; i < ways.Length; i++)
        {
            Receiver receiver = ways[i].Receiver.Receiver;
            if (receiver.TravelLimit is { } travel)
            {
                double reach = travel * omega * receiver.DiaphragmArea * ways[i].Count;
                double volts = reach * reach / (2 * Power(Flow(ways[i], workspace, i, true, junction, k)));
                (most, limiting, byTravel) = volts < most ? (volts, i, true) : (most, limiting, byTravel);
            }

            if (receiver.CurrentLimit is { } current)
            {
                double all = current * (ways[i].Wiring == Wiring.Parallel ? ways[i].Count : 1);
                double volts = all * all / Power(Flow(ways[i], workspace, i, false, junction, k));
                (most, limiting, byTravel) = volts < most ? (volts, i, false) : (most, limiting, byTravel);
            }
        }

        double perVolt = Power(new Complex(workspace.PressurePerVoltRe[k], workspace.PressurePerVoltIm[k]));
        return new(10 * Math.Log10(perVolt * most / (20e-6 * 20e-6)), limiting, byTravel);
    }

    /// <summary>∂SPL/∂θ of a limit, dB. The evaluation must have had the parameters and a source without resistance, so that p follows V.</summary>
    public static void Tangent(
        ReadOnlySpan<KernelWay> ways,
        KernelWorkspace workspace,
        EarTable ear,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale,
        int k,
        Limit limit,
        Span<double> tangent)
    {
        KernelWay way = ways[limit.Way];
        int n = workspace.Grid.Count;
        Planes cuts = workspace.MotorCuts!;
        Complex junction = Junction(workspace, ear, k), inverse = way.Sign * workspace.Driven.At(limit.Way, k);
        Complex left = cuts.At((4 * limit.Way) + (limit.ByTravel ? 2 : 0), k), right = cuts.At((4 * limit.Way) + (limit.ByTravel ? 3 : 1), k);
        Complex f = Flow(way, workspace, limit.Way, limit.ByTravel, junction, k);
        double tau = limit.ByTravel ? -1 : 1;
        for (int q = 0; q < parameters.Length; q++)
        {
            Complex pressure = new(workspace.PressureTangentRe[(q * n) + k], workspace.PressureTangentIm[(q * n) + k]);
            Complex change = tau * left * inverse * junction * pressure;
            if (parameters[q].Way == limit.Way)
            {
                change += parameters[q].Kind switch
                {
                    ParameterKind.TubeLength => Behind(q, -1, false, way.Bores[parameters[q].Index].Planes.At(3, k) * scale[q])
                        + Behind(q, 1, true, way.Bores[parameters[q].Index].Planes.At(4, k) * scale[q]),
                    ParameterKind.Bore => ByBore(way, workspace, limit.Way, tau, left, junction, inverse, k) * scale[q],
                    ParameterKind.Damper => Behind(q, -1, false, scale[q]),
                    _ => BySection(q, parameters[q], scale[q]),
                };
            }

            tangent[q] = MagnitudeError.DbPerNeper * (pressure.Real - (change / f).Real);
        }

        Complex Source(int q, double sign, bool across) => (way.Sign * (across ? workspace.RightAcross : workspace.Right).At(q, k))
            + (sign * (across ? workspace.LeftAcross : workspace.Left).At(q, k) * inverse * junction);

        Complex Behind(int q, double sign, bool across, Complex by) =>
            -tau * sign * left * (across ? workspace.RightAcross : workspace.Right).At(q, k) * Source(q, sign, across) * by;

        Complex BySection(int q, KernelParameter parameter, double by)
        {
            bool inLine = way.Places[parameter.Index] == SectionPlace.Series;
            double omega = workspace.Grid.Omega[k], farad = way.Capacitances[parameter.Index];
            Complex change = parameter.Kind switch
            {
                ParameterKind.Resistor => by,
                ParameterKind.Capacitor => new Complex(by * way.LossSlope(parameter), by / (omega * farad * farad)),
                _ => new Complex(by * way.LossSlope(parameter), by * omega),
            };
            if (!inLine)
            {
                var impedance = new Complex(
                    way.Resistances[parameter.Index] + way.Losses[parameter.Index],
                    (omega * way.Inductances[parameter.Index]) - (1 / (omega * farad)));
                change /= -(impedance * impedance);
            }

            return -right * workspace.Left.At(q, k) * Source(q, inLine ? 1 : -1, false) * change;
        }
    }

    private static double Power(Complex z) => (z.Real * z.Real) + (z.Imaginary * z.Imaginary);

    /// <summary>p/V at the junction.</summary>
    private static Complex Junction(KernelWorkspace workspace, EarTable ear, int k) =>
        new Complex(workspace.PressurePerVoltRe[k], workspace.PressurePerVoltIm[k]) / ear.Planes.At(1, k);

    /// <summary>Flow at all diaphragms of a way together, or current into its coils together, per volt at the socket.</summary>
    private static Complex Flow(KernelWay way, KernelWorkspace workspace, int row, bool atDiaphragm, Complex junction, int k)
    {
        Planes cuts = workspace.MotorCuts!;
        Complex left = cuts.At((4 * row) + (atDiaphragm ? 2 : 0), k), right = cuts.At((4 * row) + (atDiaphragm ? 3 : 1), k);
        Complex inverse = way.Sign * workspace.Driven.At(row, k);
        return (way.Sign * right) + ((atDiaphragm ? -1 : 1) * left * inverse * junction);
    }

    /// <summary>By the bore: the chain G of <see cref="Four.BoreTangent"/> at the end of the way.</summary>
    private static Complex ByBore(
        KernelWay way, KernelWorkspace workspace, int row, double tau, Complex left, Complex junction, Complex inverse, int k)
    {
        Planes bore = way.Bores[^1].Planes, slopes = way.Relaxed!.Slopes;
        double length = way.Lengths[^1];
        Complex gammaLength = bore.At(0, k) * length, zeta = slopes.At(1, k);
        Complex sinh = Complex.Sinh(gammaLength), cosh = Complex.Cosh(gammaLength);
        Complex p = bore.At(1, k) * ((slopes.At(0, k) * length) + (zeta * sinh * cosh)), h = zeta * sinh * sinh;
        return tau * left * inverse * ((way.Sign * p * inverse) - (junction * ((p * workspace.Acoustic.At(row, k)) - h)));
    }
}
