using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>A chain matrix, or its change, at four frequencies.</summary>
internal readonly struct Chain(ComplexLanes a, ComplexLanes b, ComplexLanes c, ComplexLanes d)
{
    public readonly ComplexLanes A = a;
    public readonly ComplexLanes B = b;
    public readonly ComplexLanes C = c;
    public readonly ComplexLanes D = d;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Chain operator *(Chain chain, ComplexLanes factor) =>
        new(chain.A * factor, chain.B * factor, chain.C * factor, chain.D * factor);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Chain TimesJ(Vector256<double> x) => new(A.TimesJ(x), B.TimesJ(x), C.TimesJ(x), D.TimesJ(x));

    /// <summary>This chain followed by a series resistance.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Chain ThenSeries(Vector256<double> resistance) => new(A, B.Plus(A, resistance), C, D.Plus(C, resistance));

    /// <summary>A series impedance followed by this chain.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Chain BehindSeries(ComplexLanes impedance) => new(A.Plus(impedance, C), B.Plus(impedance, D), C, D);

    /// <summary>A shunt admittance followed by this chain.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Chain BehindShunt(ComplexLanes admittance) => new(A, B, C.Plus(admittance, A), D.Plus(admittance, B));
}
