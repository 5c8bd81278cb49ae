using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>A tube piece at some frequencies: cosh Γl, sinh Γl, Z_c sinh Γl and sinh Γl / Z_c.</summary>
internal readonly struct Tube
{
    /// <summary>Below this |Re Γl| the series of cosh and sinh are used: no division, and no digit lost in e^x − e^−x.</summary>
    public const double Faint = 0.5;

    public readonly ComplexLanes Cosh;
    public readonly ComplexLanes Sinh;
    public readonly ComplexLanes Series;
    public readonly ComplexLanes Shunt;

    /// <param name="bore">Table of the bore.</param>
    /// <param name="length">l, m.</param>
    /// <param name="faint">Whether |Re Γl| stays below <see cref="Faint"/> on the whole grid.</param>
    /// <param name="k">First grid point.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Tube(Planes bore, double length, bool faint, int k)
    {
        ComplexLanes gammaLength = bore.Lanes(0, k) * Wide.Create(length);
        (Lanes sin, Lanes cos) = Elementary.SinCos(gammaLength.Im);
        (Lanes sinh, Lanes cosh) = faint ? Elementary.SinhCoshSmall(gammaLength.Re) : Elementary.SinhCosh(gammaLength.Re);
        Cosh = new(cosh * cos, sinh * sin);
        Sinh = new(sinh * cos, cosh * sin);
        Series = Sinh * bore.Lanes(1, k);
        Shunt = Sinh * bore.Lanes(2, k);
    }
}
