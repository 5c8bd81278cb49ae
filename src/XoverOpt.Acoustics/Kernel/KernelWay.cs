namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// A way as the kernel reads it: tables by reference, values in flat arrays that a search overwrites from candidate to candidate.
/// </summary>
public sealed class KernelWay
{
    /// <summary>Prepares a way; values start at those of <paramref name="sections"/> and zero lengths.</summary>
    /// <param name="receiver">Table of the receiver.</param>
    /// <param name="count">How many alike.</param>
    /// <param name="wiring">How they are wired.</param>
    /// <param name="polarity">Which way round the leads are.</param>
    /// <param name="sections">Network from the socket towards the receiver.</param>
    /// <param name="bores">Tables of the tube pieces, from the damper to the junction.</param>
    public KernelWay(
        ReceiverTable receiver,
        int count,
        Wiring wiring,
        Polarity polarity,
        IReadOnlyList<NetworkSection> sections,
        IReadOnlyList<BoreTable> bores)
    {
        Receiver = receiver;
        Count = count;
        Wiring = wiring;
        Sign = polarity == Polarity.Normal ? 1 : -1;
        Places = [.. sections.Select(section => section.Place)];
        Resistances = [.. sections.Select(section => section.Resistance ?? 0)];
        Capacitances = [.. sections.Select(section => section.Capacitance ?? double.PositiveInfinity)];
        Inductances = [.. sections.Select(section => section.Inductance ?? 0)];
        Losses = [.. sections.Select(section => (section.Capacitance is null ? 0 : section.CapacitorEsr) + (section.Inductance is null ? 0 : section.CoilDcr))];
        LossSlopes = new double[2 * sections.Count];
        Bores = [.. bores];
        Lengths = new double[bores.Count];
    }

    private KernelWay(
        ReceiverTable receiver,
        int count,
        Wiring wiring,
        double sign,
        SectionPlace[] places,
        double[] resistances,
        double[] capacitances,
        double[] inductances,
        double[] losses,
        BoreTable[] bores,
        double[] lengths) => (Receiver, Count, Wiring, Sign, Places, Resistances, Capacitances, Inductances, Losses, Bores, Lengths) =
        (receiver, count, wiring, sign, places, resistances, capacitances, inductances, losses, bores, lengths);

    /// <summary>Prepares a way of a whole build.</summary>
    public KernelWay(Way way, ReceiverTable receiver, IReadOnlyList<BoreTable> bores)
        : this(receiver, way.Count, way.Wiring, way.Polarity, way.Network, bores)
    {
        Damper = way.DamperResistance;
        Lengths = [.. way.Tube.Select(piece => piece.Length)];
    }

    /// <summary>Table of the receiver.</summary>
    public ReceiverTable Receiver { get; }

    /// <summary>How many alike.</summary>
    public int Count { get; }

    /// <summary>How they are wired.</summary>
    public Wiring Wiring { get; }

    /// <summary>+1 as marked, −1 turned over.</summary>
    public double Sign { get; }

    /// <summary>Place of each network section.</summary>
    public SectionPlace[] Places { get; }

    /// <summary>Resistor of each section, Ω; 0 where absent.</summary>
    public double[] Resistances { get; }

    /// <summary>Capacitor of each section, F; infinite where absent.</summary>
    public double[] Capacitances { get; }

    /// <summary>Coil of each section, H; 0 where absent.</summary>
    public double[] Inductances { get; }

    /// <summary>ESR and DCR of each section together, Ω.</summary>
    public double[] Losses { get; }

    /// <summary>
    /// How ESR and DCR follow the values while these are free, two numbers a section: Ω per farad of its capacitor, Ω per henry of its coil.
    /// </summary>
    public double[] LossSlopes { get; private init; } = [];

    /// <summary>∂loss/∂value of a capacitor or coil; 0 for every other value.</summary>
    public double LossSlope(KernelParameter parameter) => parameter.Kind switch
    {
        ParameterKind.Capacitor => LossSlopes[2 * parameter.Index],
        ParameterKind.Coil => LossSlopes[(2 * parameter.Index) + 1],
        _ => 0,
    };

    /// <summary>Damper, Pa·s/m³.</summary>
    public double Damper { get; set; }

    /// <summary>Tables of the tube pieces.</summary>
    public BoreTable[] Bores { get; }

    /// <summary>The bore of the last tube piece where it is free; null where it is not.</summary>
    public RelaxedBore? Relaxed { get; private init; }

    /// <summary>This way with the bore of its last tube piece free.</summary>
    public KernelWay WithFreeBore(BoreFamily family)
    {
        var relaxed = new RelaxedBore(family);
        BoreTable[] bores = [.. Bores];
        bores[^1] = relaxed.Table;
        return new(Receiver, Count, Wiring, Sign, Places, Resistances, Capacitances, Inductances, Losses, bores, Lengths) { Damper = Damper, Relaxed = relaxed, LossSlopes = LossSlopes };
    }

    /// <summary>
    /// The same way on another grid. Network and lengths are shared, so that they follow; damper and free bore follow at <see cref="Follow"/>.
    /// </summary>
    /// <param name="receiver">The receiver's table there.</param>
    /// <param name="bores">The bores' tables there; that of a free bore is not read.</param>
    /// <param name="family">Where a free bore is free, there; null for a fixed one.</param>
    public KernelWay OnGrid(ReceiverTable receiver, IReadOnlyList<BoreTable> bores, BoreFamily? family)
    {
        RelaxedBore? relaxed = family is null ? null : new(family);
        BoreTable[] tables = [.. bores];
        if (relaxed is not null)
        {
            tables[^1] = relaxed.Table;
        }

        return new(receiver, Count, Wiring, Sign, Places, Resistances, Capacitances, Inductances, Losses, tables, Lengths) { Damper = Damper, Relaxed = relaxed, LossSlopes = LossSlopes };
    }

    /// <summary>Takes over damper and free bore of the way this one was made from.</summary>
    public void Follow(KernelWay other)
    {
        Damper = other.Damper;
        Relaxed?.MoveTo(other.Bores[^1].Bore);
    }

    /// <summary>Length of each tube piece, m.</summary>
    public double[] Lengths { get; }

    /// <summary>Reads one value.</summary>
    public double Get(ParameterKind kind, int index) => kind switch
    {
        ParameterKind.Resistor => Resistances[index],
        ParameterKind.Capacitor => Capacitances[index],
        ParameterKind.Coil => Inductances[index],
        ParameterKind.Damper => Damper,
        ParameterKind.Bore => Bores[^1].Bore,
        _ => Lengths[index],
    };

    /// <summary>Writes one value.</summary>
    public void Set(ParameterKind kind, int index, double value)
    {
        switch (kind)
        {
            case ParameterKind.Resistor:
                Resistances[index] = value;
                break;
            case ParameterKind.Capacitor:
                Capacitances[index] = value;
                break;
            case ParameterKind.Coil:
                Inductances[index] = value;
                break;
            case ParameterKind.Damper:
                Damper = value;
                break;
            case ParameterKind.Bore:
                (Relaxed ?? throw new InvalidOperationException("The bore of this way is fixed.")).MoveTo(value);
                break;
            default:
                Lengths[index] = value;
                break;
        }
    }
}
