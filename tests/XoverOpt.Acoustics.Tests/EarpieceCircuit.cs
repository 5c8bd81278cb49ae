using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>An element between two nodes (0 is ground) of a circuit.</summary>
internal abstract record Element(int From, int To);

/// <summary>A resistor (R), coil (L) or capacitor (C).</summary>
internal sealed record Part(int From, int To, char Kind, double Value) : Element(From, To);

/// <summary>An impedance known by its function of ω only.</summary>
internal sealed record Branch(int From, int To, Func<double, Complex> Impedance) : Element(From, To);

/// <summary>A voltage source; at zero volts an ammeter. Its current flows from From to To through it.</summary>
internal sealed record VoltageSource(int From, int To, int Number, double Value) : Element(From, To);

/// <summary>A voltage Gain × (current of voltage source number Control).</summary>
internal sealed record ControlledSource(int From, int To, int Control, double Gain) : Element(From, To);

/// <summary>A sound tube, its far ports at ground.</summary>
internal sealed record TubeElement(int From, int To, double Length, double Bore) : Element(From, To);

/// <summary>
/// A build drawn as a circuit, with every receiver of a way drawn by itself, no two-port multiplied and no sum over ways: pressure is a
/// voltage, volume velocity times <see cref="FlowScale"/> a current. The motor's equations stand as two controlled sources,
/// V = Z_e i + (T/S_d) U and p = (T/S_d) i − (Z_m/S_d²) U.
/// </summary>
internal sealed class EarpieceCircuit
{
    /// <summary>Amperes per m³/s, so that acoustical impedances lie near the electrical ones.</summary>
    public const double FlowScale = 1e8;

    private readonly List<Element> elements = [];
    private readonly List<(int Coil, int Diaphragm)> meters = [];
    private readonly bool lumped;
    private readonly Air air;
    private int nodes;
    private int sources;

    public EarpieceCircuit(Build build, bool lumped, int firstNode = 0, int firstSource = 0)
    {
        this.lumped = lumped;
        air = build.Ear.Air;
        nodes = firstNode;
        sources = firstSource;

        int generator = Node();
        Meter = Source(generator, 0, build.Source.Voltage);
        Socket = Resistor(generator, build.Source.Resistance);
        Junction = Node();
        foreach (Way way in build.Earpiece.Ways)
        {
            Draw(way);
        }

        Drum = Draw(build.Ear);
    }

    public IReadOnlyList<Element> Elements => elements;

    public int Nodes => nodes;

    public int Sources => sources;

    public int Socket { get; }

    public int Junction { get; }

    public int Drum { get; }

    /// <summary>The source whose current is that of the socket, flowing into its positive end.</summary>
    public int Meter { get; }

    /// <summary>Per way, the ammeters in the first receiver's coil and at its diaphragm.</summary>
    public IReadOnlyList<(int Coil, int Diaphragm)> Meters => meters;

    /// <summary>The chain of a tube drawn as one mass, one resistance and one compliance.</summary>
    public static TwoPort LumpedTube(double omega, double length, double bore, Air air) => length == 0
        ? TwoPort.Identity
        : TwoPort.Series(new Complex(TubeResistance(length, bore, air), omega * TubeMass(length, bore, air)))
            * TwoPort.Shunt(new Complex(0, omega * Area(bore) * length / air.BulkModulus));

    private static double Area(double bore) => Math.PI * bore * bore / 4;

    private static double TubeResistance(double length, double bore, Air air) => 8 * Math.PI * air.Viscosity * length / Math.Pow(Area(bore), 2);

    private static double TubeMass(double length, double bore, Air air) => 4.0 / 3 * air.Density * length / Area(bore);

    private void Draw(Way way)
    {
        int lead = Socket;
        foreach (NetworkSection section in way.Network)
        {
            int end = Resistor(lead, (section.Resistance ?? 0) + (section.Capacitance is null ? 0 : section.CapacitorEsr));
            end = section.Capacitance is { } c ? Add(end, 'C', c) : end;
            end = section.Inductance is { } l ? Add(Resistor(end, section.CoilDcr), 'L', l) : end;
            if (section.Place == SectionPlace.Series)
            {
                lead = end;
            }
            else
            {
                Source(end, 0, 0);
            }
        }

        int spouts = Node();
        int hot = way.Polarity == Polarity.Normal ? lead : 0, cold = way.Polarity == Polarity.Normal ? 0 : lead;
        for (int i = 0; i < way.Count; i++)
        {
            bool last = i == way.Count - 1 || way.Wiring == Wiring.Parallel;
            int to = last ? cold : Node();
            (int Coil, int Diaphragm) receiver = Draw(way.Receiver, hot, to, spouts);
            if (i == 0)
            {
                meters.Add(receiver);
            }

            hot = way.Wiring == Wiring.Series ? to : hot;
        }

        int outlet = Resistor(spouts, way.DamperResistance / FlowScale);
        foreach (TubeSegment piece in way.Tube)
        {
            outlet = Tube(outlet, piece.Length, piece.Bore);
        }

        Source(outlet, Junction, 0);
    }

    private (int Coil, int Diaphragm) Draw(Receiver receiver, int hot, int cold, int spouts)
    {
        double turns = receiver.ForceFactor / receiver.DiaphragmArea, area2 = receiver.DiaphragmArea * receiver.DiaphragmArea;

        int coil = Node(), emf = Node(), driven = Node(), moving = Node();
        int current = Source(hot, coil, 0);
        if (receiver.SemiInductance is null)
        {
            int wire = Resistor(coil, receiver.DcResistance);
            Source(receiver.Inductance is { } l ? Add(wire, 'L', l) : wire, emf, 0);
        }
        else
        {
            elements.Add(new Branch(coil, emf, receiver.CoilImpedance));
        }

        // A magnetic motor: both controlled sources bear the same sign, which makes the chain's determinant −1.
        elements.Add(new ControlledSource(driven, 0, current, turns));
        int flow = Source(driven, moving, 0);
        elements.Add(new ControlledSource(emf, cold, flow, turns / FlowScale));

        int front = Resistor(moving, receiver.Resistance / area2 / FlowScale);
        front = Add(front, 'L', receiver.Mass / area2 / FlowScale);
        front = Add(front, 'C', receiver.Compliance * area2 * FlowScale);
        front = Add(front, 'C', receiver.RearVolume / air.BulkModulus * FlowScale);
        elements.Add(new Part(front, 0, 'C', receiver.FrontVolume / air.BulkModulus * FlowScale));
        Source(Tube(front, receiver.SpoutLength, receiver.SpoutBore), spouts, 0);
        return (current, flow);
    }

    private int Draw(Ear ear)
    {
        if (ear.Leak is { } leak)
        {
            Source(Add(Resistor(Junction, leak.Resistance / FlowScale), 'L', leak.Mass / FlowScale), 0, 0);
        }

        if (ear.AddedVolume > 0)
        {
            elements.Add(new Part(Junction, 0, 'C', ear.AddedVolume / air.BulkModulus * FlowScale));
        }

        EarSimulator e = ear.Simulator;
        int node = ear.ResidualLength == 0 ? Junction : Tube(Junction, ear.ResidualLength, ear.ResidualBore);
        node = Add(Resistor(node, e.R1 / FlowScale), 'L', e.L1 / FlowScale);
        elements.Add(new Part(node, 0, 'C', e.C1 * FlowScale));
        elements.Add(new Part(Add(Resistor(node, e.R2 / FlowScale), 'L', e.L2 / FlowScale), 0, 'C', e.C2 * FlowScale));
        node = Add(Resistor(node, e.R3 / FlowScale), 'L', e.L3 / FlowScale);
        elements.Add(new Part(node, 0, 'C', e.C3 * FlowScale));
        elements.Add(new Part(Add(Resistor(node, e.R4 / FlowScale), 'L', e.L4 / FlowScale), 0, 'C', e.C4 * FlowScale));
        node = Add(Resistor(node, e.R5 / FlowScale), 'L', e.L5 / FlowScale);
        elements.Add(new Part(node, 0, 'C', e.C5 * FlowScale));
        return node;
    }

    private int Tube(int from, double length, double bore)
    {
        int to = Node();
        if (!lumped)
        {
            elements.Add(new TubeElement(from, to, length, bore));
            return to;
        }

        int inner = Resistor(from, TubeResistance(length, bore, air) / FlowScale);
        elements.Add(new Part(inner, to, 'L', TubeMass(length, bore, air) / FlowScale));
        elements.Add(new Part(to, 0, 'C', Area(bore) * length / air.BulkModulus * FlowScale));
        return to;
    }

    private int Resistor(int from, double value) => value == 0 ? from : Add(from, 'R', value);

    private int Add(int from, char kind, double value)
    {
        int to = Node();
        elements.Add(new Part(from, to, kind, value));
        return to;
    }

    private int Source(int from, int to, double value)
    {
        elements.Add(new VoltageSource(from, to, ++sources, value));
        return sources;
    }

    private int Node() => ++nodes;
}
