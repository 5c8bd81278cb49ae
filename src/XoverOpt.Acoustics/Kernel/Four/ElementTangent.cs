using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>
/// Exact derivatives by one element of a way. Cut the way's chain at the element, M = L·R, and let Z be an impedance in line there:
/// ∂M/∂Z has the entries L_i0·R_1j. With x = L₀₀/B, the flow at the element per pressure at the junction, and y = R₁₁/B, that per volt
/// at the socket, the determinants (one of L and R is 1, the other −1, whichever holds the receiver) leave squares:
/// <code>
/// ∂(A/B) = ς x²     ∂(1/B) = −x y     ∂(D/B) = −ς y²     ς = det L = −det R
/// </code>
/// For an admittance across, x = L₀₁/B, y = R₀₁/B and ς turns over. So for either, with f = (s/B)/S₁, ξ = L·f and u = y + ς (S₁²/T) ξ,
/// <code>
/// ∂Y_in = −ς u²     ∂ln p = ς ρ u² − ξ u     ρ = R_s/(1 + R_s Y_in)
/// ∂ln(1/B) = −L y          change of the way's own share beyond what all shares have in common
/// common   = ∂ln p + ξ y
/// </code>
/// (Tellegen's theorem; compare S. W. Director and R. A. Rohrer, IEEE Trans. Circuit Theory 16 (1969) 318–323.) A tube of length l is a
/// tube times [1, z dl; y dl, 1]: both kinds at once, at its end.
/// </summary>
internal static class ElementTangent
{
    private readonly struct Change(ComplexLanes pressure, ComplexLanes common, ComplexLanes own)
    {
        public readonly ComplexLanes Pressure = pressure;
        public readonly ComplexLanes Common = common;
        public readonly ComplexLanes Own = own;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Change operator *(Change change, ComplexLanes by) => new(change.Pressure * by, change.Common * by, change.Own * by);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Change operator *(Change change, Lanes by) => new(change.Pressure * by, change.Common * by, change.Own * by);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Change operator +(Change a, Change b) => new(a.Pressure + b.Pressure, a.Common + b.Common, a.Own + b.Own);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Change TimesJ(Lanes x) => new(Pressure.TimesJ(x), Common.TimesJ(x), Own.TimesJ(x));
    }

    /// <summary>Row <paramref name="row"/> of the tangents of pressure and shares.</summary>
    public static void OfPressure(KernelWay way, KernelWorkspace workspace, KernelParameter parameter, double scale, int row)
    {
        int n = workspace.Grid.Count;
        ComplexPlane pressure = new(workspace.PressureTangentRe, workspace.PressureTangentIm, row, n);
        ComplexPlane common = new(workspace.CommonTangentRe, workspace.CommonTangentIm, row, n);
        ComplexPlane own = new(workspace.OwnTangentRe, workspace.OwnTangentIm, row, n);
        ComplexPlane loadings = new(workspace.LoadingRe, workspace.LoadingIm, 0, n);
        ComplexPlane couplings = new(workspace.CouplingRe, workspace.CouplingIm, 0, n);
        if (parameter.Kind == ParameterKind.Bore)
        {
            BoreTangent.OfPressure(way, workspace, parameter, scale, row);
            return;
        }

        var element = new Element(way, workspace.Grid, parameter, scale);
        Lanes sign = Wide.Create(element.Sign);
        for (int at = 0; at < n; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            ComplexLanes fraction = workspace.Fraction.Lanes(parameter.Way, k), coupling = couplings[k], loading = loadings[k];
            Change change = Unit(sign, workspace.Left.Lanes(row, k), workspace.Right.Lanes(row, k), fraction, coupling, loading);
            if (parameter.Kind == ParameterKind.TubeLength)
            {
                Change across = Unit(-sign, workspace.LeftAcross.Lanes(row, k), workspace.RightAcross.Lanes(row, k), fraction, coupling, loading);
                change = ((change * element.LineSeries(k)) + (across * element.LineShunt(k))) * Wide.Create(scale);
            }
            else
            {
                change = element.IsReal ? change * Wide.Create(scale) : element.IsImaginary ? change.TimesJ(element.Reactance(k)) : change * element.Factor(k);
            }

            pressure.Set(k, change.Pressure);
            common.Set(k, change.Common);
            own.Set(k, change.Own);
        }
    }

    /// <summary>Row <paramref name="row"/> of ∂Y_in/∂θ.</summary>
    public static void OfAdmittance(KernelWay way, KernelWorkspace workspace, KernelParameter parameter, double scale, int row, int from, int to)
    {
        int n = workspace.Grid.Count;
        ComplexPlane admittance = new(workspace.AdmittanceTangentRe, workspace.AdmittanceTangentIm, row, n);
        ComplexPlane couplings = new(workspace.CouplingRe, workspace.CouplingIm, 0, n);
        if (parameter.Kind == ParameterKind.Bore)
        {
            BoreTangent.OfAdmittance(way, workspace, parameter, scale, row, from, to);
            return;
        }

        var element = new Element(way, workspace.Grid, parameter, scale);
        Lanes sign = Wide.Create(element.Sign);
        for (int at = from; at < to; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            ComplexLanes fraction = workspace.Fraction.Lanes(parameter.Way, k), coupling = couplings[k];
            ComplexLanes u = Flow(sign, workspace.Left.Lanes(row, k), workspace.Right.Lanes(row, k), fraction, coupling);
            ComplexLanes change = u.Squared() * -sign;
            if (parameter.Kind == ParameterKind.TubeLength)
            {
                u = Flow(-sign, workspace.LeftAcross.Lanes(row, k), workspace.RightAcross.Lanes(row, k), fraction, coupling);
                change = ((change * element.LineSeries(k)) + (u.Squared() * sign * element.LineShunt(k))) * Wide.Create(scale);
            }
            else
            {
                change *= element.Factor(k);
            }

            admittance.Set(k, change);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ComplexLanes Flow(Lanes sign, ComplexLanes left, ComplexLanes right, ComplexLanes fraction, ComplexLanes coupling) =>
        right.Plus(left * fraction * coupling, sign);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Change Unit(Lanes sign, ComplexLanes left, ComplexLanes right, ComplexLanes fraction, ComplexLanes coupling, ComplexLanes loading)
    {
        ComplexLanes xi = left * fraction, u = right.Plus(xi * coupling, sign);
        ComplexLanes pressure = (-(xi * u)).Plus(u.Squared() * loading, sign);
        return new(pressure, pressure.Plus(xi, right), -(left * right));
    }

    /// <summary>What an element's impedance or admittance changes by with its value.</summary>
    private readonly ref struct Element
    {
        private readonly ref double _omega;
        private readonly ref double _inverseOmega;
        private readonly KernelParameter _parameter;
        private readonly double _scale;
        private readonly double _loss;
        private readonly bool _inLine;
        private readonly Section _section;
        private readonly Planes? _bore;

        public Element(KernelWay way, FrequencyGrid grid, KernelParameter parameter, double scale)
        {
            _omega = ref MemoryMarshal.GetArrayDataReference(grid.Omega);
            _inverseOmega = ref MemoryMarshal.GetArrayDataReference(grid.InverseOmega);
            _parameter = parameter;
            _scale = scale;
            Sign = -1;
            IsReal = parameter.Kind == ParameterKind.Damper;
            if (parameter.Kind == ParameterKind.TubeLength)
            {
                _bore = way.Bores[parameter.Index].Planes;
            }
            else if (parameter.Kind <= ParameterKind.Coil)
            {
                _section = new(way, parameter.Index);
                _inLine = _section.InLine;
                _loss = scale * way.LossSlope(parameter);
                Sign = _section.InLine ? 1 : -1;
                IsReal = _section.InLine && parameter.Kind == ParameterKind.Resistor;
                IsImaginary = _section.InLine && parameter.Kind != ParameterKind.Resistor && _loss == 0;
                if (parameter.Kind == ParameterKind.Capacitor)
                {
                    double capacitance = way.Capacitances[parameter.Index];
                    _scale /= capacitance * capacitance;
                }
            }
        }

        /// <summary>ς.</summary>
        public readonly double Sign;

        /// <summary>The change is that of the value itself.</summary>
        public readonly bool IsReal;

        /// <summary>The change is j times <see cref="Reactance"/>.</summary>
        public readonly bool IsImaginary;

        /// <summary>∂Im Z/∂θ of a capacitor or coil.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Lanes Reactance(int k) =>
            Wide.LoadUnsafe(ref _parameter.Kind == ParameterKind.Capacitor ? ref _inverseOmega : ref _omega, (nuint)k) * Wide.Create(_scale);

        /// <summary>∂Z/∂θ, or for an element across ∂Y/∂θ = −Y² ∂Z/∂θ.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public ComplexLanes Factor(int k)
        {
            ComplexLanes z = _parameter.Kind is ParameterKind.Capacitor or ParameterKind.Coil
                ? new(Wide.Create(_loss), Reactance(k))
                : new(Wide.Create(_scale), Lanes.Zero);
            if (IsReal || _inLine)
            {
                return z;
            }

            ComplexLanes y = _section.Impedance(Wide.LoadUnsafe(ref _omega, (nuint)k), Wide.LoadUnsafe(ref _inverseOmega, (nuint)k)).Inverse();
            return -(y.Squared() * z);
        }

        /// <summary>z of the tube, Pa·s/m⁴.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public ComplexLanes LineSeries(int k) => _bore!.Lanes(3, k);

        /// <summary>y of the tube, m²/(Pa·s).</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public ComplexLanes LineShunt(int k) => _bore!.Lanes(4, k);
    }
}
