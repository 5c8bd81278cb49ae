using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// A build as a netlist of general SPICE syntax, for whoever wants to check it elsewhere: network, receivers, tubes, dampers and ear, with
/// the response at the node <c>drum</c> (1 V is 1 Pa) and the socket at <c>socket</c>. Parts bear the designators of the build sheet.
/// </summary>
public static class SpiceNetlist
{
    /// <summary>Writes a build with the ear and the source of its job.</summary>
    public static string Write(BuildInJob build) => Write(
        $"{build.Job.Problem.Name}: {BuildKey.Of(build.Build.Earpiece)}", build.Build.Earpiece, build.Job.Problem.Ear, build.Job.Problem.Source);

    /// <summary>Writes it.</summary>
    /// <param name="name">What it is called in its first line.</param>
    /// <param name="earpiece">The build.</param>
    /// <param name="ear">What it speaks into.</param>
    /// <param name="source">What drives the socket.</param>
    public static string Write(string name, Earpiece earpiece, Ear ear, Source source)
    {
        var circuit = new AnalogueCircuit();
        circuit.Line("* " + name.ReplaceLineEndings(" "));
        circuit.Comment("Acoustics as impedance analogue: 1 V is 1 Pa RMS, 1 A is 1e-8 m3/s. Linear and small-signal; the ear is a lumped simulator.");
        circuit.Comment("Tubes and eddy currents stand as ladders of lumped parts, good from 20 Hz to 20 kHz.");
        circuit.Comment(BuildFile.Caution);
        circuit.Line(string.Create(CultureInfo.InvariantCulture, $"Vdrive generator 0 DC 0 AC {source.Voltage:R}"));
        circuit.Part('R', "generator", "socket", Math.Max(source.Resistance, 1e-6), "source");
        var designators = new Designators();
        foreach (Way way in earpiece.Ways)
        {
            Draw(circuit, way, ear.Air, designators);
        }

        Draw(circuit, ear);
        circuit.Line(".ac dec 40 20 20000");
        circuit.Line(".print ac vdb(drum) vp(drum)");
        circuit.Line(".end");
        return circuit.ToString();
    }

    private static void Draw(AnalogueCircuit circuit, Way way, Air air, Designators designators)
    {
        circuit.Comment($"way {way.Name}: {way.Count} x {way.Receiver.PartNumber}");
        string lead = "socket";
        foreach (NetworkSection section in way.Network)
        {
            string end = lead;
            end = section.Resistance is { } r ? circuit.Series('R', end, r, designators.Next('R')[1..]) : end;
            if (section.Capacitance is { } c)
            {
                end = circuit.Series('C', circuit.Series('R', end, section.CapacitorEsr), c, designators.Next('C')[1..]);
            }

            if (section.Inductance is { } l)
            {
                end = circuit.Series('L', circuit.Series('R', end, section.CoilDcr), l, designators.Next('L')[1..]);
            }

            if (section.Place == SectionPlace.Series)
            {
                lead = end;
            }
            else
            {
                circuit.Ammeter(end, "0");
            }
        }

        string spouts = circuit.Node();
        (string hot, string cold) = way.Polarity == Polarity.Normal ? (lead, "0") : ("0", lead);
        for (int i = 0; i < way.Count; i++)
        {
            string to = i == way.Count - 1 || way.Wiring == Wiring.Parallel ? cold : circuit.Node();
            Draw(circuit, way.Receiver, hot, to, spouts, air);
            hot = way.Wiring == Wiring.Series ? to : hot;
        }

        string at = circuit.Resistance(spouts, way.DamperResistance);
        foreach (TubeSegment piece in way.Tube)
        {
            at = circuit.Tube(at, piece.Length, piece.Bore, air);
        }

        circuit.Ammeter(at, "junction");
    }

    private static void Draw(AnalogueCircuit circuit, Receiver receiver, string hot, string cold, string spouts, Air air)
    {
        double turns = receiver.ForceFactor / receiver.DiaphragmArea, area2 = receiver.DiaphragmArea * receiver.DiaphragmArea;
        string coil = circuit.Node(), emf = circuit.Node(), driven = circuit.Node(), moving = circuit.Node();
        string current = circuit.Ammeter(hot, coil);
        string wire = circuit.Series('R', coil, receiver.DcResistance);
        switch (receiver.Inductance, receiver.SemiInductance)
        {
            case ({ } l, { } k):
                circuit.Part('L', wire, emf, l);
                circuit.Ammeter(circuit.HalfInductance(wire, k), emf);
                break;
            case ({ } l, null):
                circuit.Part('L', wire, emf, l);
                break;
            case (null, { } k):
                circuit.Ammeter(circuit.HalfInductance(wire, k), emf);
                break;
            default:
                circuit.Ammeter(wire, emf);
                break;
        }

        // A magnetic motor: force T·i and back-EMF T·v, both of one sign.
        circuit.Follow(driven, "0", current, turns);
        string flow = circuit.Ammeter(driven, moving);
        circuit.Follow(emf, cold, flow, turns / AnalogueCircuit.FlowScale);
        string front = circuit.Mass(circuit.Resistance(moving, receiver.Resistance / area2), receiver.Mass / area2);
        front = circuit.Series('C', front, receiver.Compliance * area2 * AnalogueCircuit.FlowScale);
        front = circuit.Series('C', front, receiver.RearVolume / air.BulkModulus * AnalogueCircuit.FlowScale);
        if (receiver.FrontVolume > 0)
        {
            circuit.Volume(front, receiver.FrontVolume / air.BulkModulus);
        }

        circuit.Ammeter(circuit.Tube(front, receiver.SpoutLength, receiver.SpoutBore, air), spouts);
    }

    private static void Draw(AnalogueCircuit circuit, Ear ear)
    {
        circuit.Comment("the ear");
        if (ear.Leak is { } leak)
        {
            circuit.Ammeter(circuit.Mass(circuit.Resistance("junction", leak.Resistance), leak.Mass), "0");
        }

        if (ear.AddedVolume > 0)
        {
            circuit.Volume("junction", ear.AddedVolume / ear.Air.BulkModulus);
        }

        EarSimulator e = ear.Simulator;
        string at = circuit.Tube("junction", ear.ResidualLength, ear.ResidualBore, ear.Air);
        at = Stage(at, e.L1, e.R1, e.C1);
        Side(at, e.L2, e.R2, e.C2);
        at = Stage(at, e.L3, e.R3, e.C3);
        Side(at, e.L4, e.R4, e.C4);
        at = Stage(at, e.L5, e.R5, e.C5);
        circuit.Ammeter(at, "drum");

        string Stage(string from, double mass, double loss, double volume)
        {
            string to = circuit.Mass(circuit.Resistance(from, loss), mass);
            circuit.Volume(to, volume);
            return to;
        }

        void Side(string from, double mass, double loss, double volume) => circuit.Volume(circuit.Mass(circuit.Resistance(from, loss), mass), volume);
    }
}
