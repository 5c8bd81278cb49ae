using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>A tube piece at four frequencies: cosh Γl, Z_c sinh Γl and sinh Γl / Z_c.</summary>
internal readonly struct Tube
{
    private readonly ComplexLanes _cosh;
    private readonly ComplexLanes _series;
    private readonly ComplexLanes _shunt;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Tube(BoreTable bore, double length, int k)
    {
        ComplexLanes gammaLength = bore.Planes.Lanes(0, k) * Vector256.Create(length);
        (Vector256<double> sin, Vector256<double> cos) = Elementary.SinCos(gammaLength.Im);
        Vector256<double> grow = Elementary.Exp(gammaLength.Re), half = Vector256.Create(0.5);
        Vector256<double> fade = Vector256<double>.One / grow;
        Vector256<double> realCosh = (grow + fade) * half, realSinh = (grow - fade) * half;
        _cosh = new(realCosh * cos, realSinh * sin);
        var sinh = new ComplexLanes(realSinh * cos, realCosh * sin);
        _series = sinh * bore.Planes.Lanes(1, k);
        _shunt = sinh * bore.Planes.Lanes(2, k);
    }

    /// <summary>A chain followed by this tube.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Chain After(Chain chain) => new(
        (chain.A * _cosh).Plus(chain.B, _shunt),
        (chain.B * _cosh).Plus(chain.A, _series),
        (chain.C * _cosh).Plus(chain.D, _shunt),
        (chain.D * _cosh).Plus(chain.C, _series));
}
