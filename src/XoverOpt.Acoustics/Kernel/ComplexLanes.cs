using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>Four complex numbers side by side, one a frequency. Lanes never mix, so a result does not depend on the lane width.</summary>
internal readonly struct ComplexLanes(Vector256<double> re, Vector256<double> im)
{
    public readonly Vector256<double> Re = re;
    public readonly Vector256<double> Im = im;

    public static ComplexLanes Zero => default;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes Load(ReadOnlySpan<double> re, ReadOnlySpan<double> im, int at) =>
        new(Vector256.Create(re.Slice(at, 4)), Vector256.Create(im.Slice(at, 4)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Store(Span<double> re, Span<double> im, int at)
    {
        Re.CopyTo(re.Slice(at, 4));
        Im.CopyTo(im.Slice(at, 4));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator +(ComplexLanes a, ComplexLanes b) => new(a.Re + b.Re, a.Im + b.Im);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator -(ComplexLanes a, ComplexLanes b) => new(a.Re - b.Re, a.Im - b.Im);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator -(ComplexLanes a) => new(-a.Re, -a.Im);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator *(ComplexLanes a, Vector256<double> b) => new(a.Re * b, a.Im * b);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator *(ComplexLanes a, ComplexLanes b) => new(
        Vector256.FusedMultiplyAdd(a.Re, b.Re, -(a.Im * b.Im)),
        Vector256.FusedMultiplyAdd(a.Re, b.Im, a.Im * b.Re));

    /// <summary>this + a·b.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Plus(ComplexLanes a, ComplexLanes b) => new(
        Vector256.FusedMultiplyAdd(-a.Im, b.Im, Vector256.FusedMultiplyAdd(a.Re, b.Re, Re)),
        Vector256.FusedMultiplyAdd(a.Im, b.Re, Vector256.FusedMultiplyAdd(a.Re, b.Im, Im)));

    /// <summary>this + a·b with real b.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Plus(ComplexLanes a, Vector256<double> b) => new(
        Vector256.FusedMultiplyAdd(a.Re, b, Re),
        Vector256.FusedMultiplyAdd(a.Im, b, Im));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Inverse()
    {
        Vector256<double> scale = Vector256<double>.One / Vector256.FusedMultiplyAdd(Re, Re, Im * Im);
        return new(Re * scale, -(Im * scale));
    }

    /// <summary>j·x·this with real x.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes TimesJ(Vector256<double> x) => new(-(Im * x), Re * x);
}
