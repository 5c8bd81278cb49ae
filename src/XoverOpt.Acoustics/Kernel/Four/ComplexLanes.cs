using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>Complex numbers side by side, one a frequency. Lanes never mix, so a result does not depend on the lane width.</summary>
internal readonly struct ComplexLanes(Lanes re, Lanes im)
{
    public readonly Lanes Re = re;
    public readonly Lanes Im = im;

    public static ComplexLanes Zero => default;

    public static ComplexLanes One => new(Lanes.One, Lanes.Zero);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator +(ComplexLanes a, ComplexLanes b) => new(a.Re + b.Re, a.Im + b.Im);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator -(ComplexLanes a, ComplexLanes b) => new(a.Re - b.Re, a.Im - b.Im);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator -(ComplexLanes a) => new(-a.Re, -a.Im);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator *(ComplexLanes a, Lanes b) => new(a.Re * b, a.Im * b);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator *(ComplexLanes a, ComplexLanes b) => new(
        Wide.FusedMultiplyAdd(a.Re, b.Re, -(a.Im * b.Im)),
        Wide.FusedMultiplyAdd(a.Re, b.Im, a.Im * b.Re));

    /// <summary>this + a·b.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Plus(ComplexLanes a, ComplexLanes b) => new(
        Wide.FusedMultiplyAdd(-a.Im, b.Im, Wide.FusedMultiplyAdd(a.Re, b.Re, Re)),
        Wide.FusedMultiplyAdd(a.Im, b.Re, Wide.FusedMultiplyAdd(a.Re, b.Im, Im)));

    /// <summary>this + a·b with real b.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Plus(ComplexLanes a, Lanes b) => new(
        Wide.FusedMultiplyAdd(a.Re, b, Re),
        Wide.FusedMultiplyAdd(a.Im, b, Im));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Squared() => new(
        Wide.FusedMultiplyAdd(Re, Re, -(Im * Im)),
        (Re + Re) * Im);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Inverse()
    {
        Lanes scale = Lanes.One / Power();
        return new(Re * scale, -(Im * scale));
    }

    /// <summary>|this|².</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Lanes Power() => Wide.FusedMultiplyAdd(Re, Re, Im * Im);

    /// <summary>j·x·this with real x.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes TimesJ(Lanes x) => new(-(Im * x), Re * x);
}
