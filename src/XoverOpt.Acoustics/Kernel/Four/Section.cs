using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>A network section as the kernel's loop over frequency reads it.</summary>
internal readonly struct Section
{
    private readonly double _resistance;
    private readonly double _inductance;
    private readonly double _elastance;

    public Section(KernelWay way, int index)
    {
        InLine = way.Places[index] == SectionPlace.Series;
        _resistance = way.Resistances[index] + way.Losses[index];
        _inductance = way.Inductances[index];
        _elastance = 1 / way.Capacitances[index];
        IsReal = _inductance == 0 && _elastance == 0;
    }

    public readonly bool InLine;

    /// <summary>Whether it holds a resistor only.</summary>
    public readonly bool IsReal;

    public Lanes Resistance
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        get => Wide.Create(_resistance);
    }

    /// <summary>Z = R + j(ωL − 1/(ωC)).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Impedance(Lanes omega, Lanes inverseOmega) => new(
        Wide.Create(_resistance),
        Wide.FusedMultiplyAdd(omega, Wide.Create(_inductance), -(inverseOmega * Wide.Create(_elastance))));
}
