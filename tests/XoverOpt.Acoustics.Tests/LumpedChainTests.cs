using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>
/// One receiver chain, from source to eardrum, made of lumped elements only; values and how they were recovered in tests/data/ba_chain.
/// Its coil has a resistance across the inductance where a receiver of ours has a semi-inductance, so that branch is put in line.
/// </summary>
public class LumpedChainTests
{
    private const double Area = 10e-6, SpoutBore = 1e-3, TubeBore = 2e-3;

    /// <summary>ρc² = 1.4 · 101 325 Pa; nothing else of the air counts here.</summary>
    private static readonly Air Air = new(1.2, Math.Sqrt(1.4 * 101325 / 1.2), 1.4, 0, 0);

    /// <summary>The area is free: it cancels out of everything between coil and ear.</summary>
    private static readonly Way Chain = new(
        "one",
        new Receiver
        {
            PartNumber = "lumped",
            DcResistance = 24,
            ForceFactor = 3e5 * Area,
            Mass = 1.6e5 * Area * Area,
            Compliance = 2.5e-14 / (Area * Area),
            Resistance = 1.2e8 * Area * Area,
            DiaphragmArea = Area,
            RearVolume = 20e-9,
            FrontVolume = 10e-9,
            SpoutLength = 1e-3,
            SpoutBore = SpoutBore,
        },
        1,
        Wiring.Parallel,
        Polarity.Normal,
        [new NetworkSection(SectionPlace.Series, Resistance: 11, Capacitance: 22e-6)],
        1.5e8,
        [new TubeSegment(1e-3, TubeBore)]);

    // ngspice 39 agreed with the file to 5e-8 or better, as its last column says.
    [Fact]
    public void Chain_IntoTheEar_GivesTheTabulatedPressureAndImpedance()
    {
        ReferenceTable table = ReferenceTable.Read("ba_chain", "ba_chain_reference.csv");

        Assert.Equal(18, table.Rows.Count);
        foreach (ReferenceTable.Row row in table.Rows)
        {
            double f = row.Number("f_Hz"), omega = 2 * Math.PI * f;
            TwoPort receiver = FromCoilToTube(omega) * EarSimulator.RefitLossless.Matrix(omega), whole = Chain.NetworkMatrix(omega) * receiver;
            var pressure = new Complex(row.Number("p_drum_re_Pa"), row.Number("p_drum_im_Pa"));
            var impedance = new Complex(row.Number("Zin_re_ohm"), row.Number("Zin_im_ohm"));

            Agreement.Relative(pressure, 0.1 / whole.A, 1e-8, $"eardrum pressure at {f} Hz");
            Agreement.Relative(impedance, receiver.A / receiver.C, 1e-8, $"input impedance at {f} Hz");
        }
    }

    [Fact]
    public void Chain_ToTheEndOfItsTube_HasTheTabulatedHuntParameters()
    {
        ReferenceTable table = ReferenceTable.Read("hunt_three_load", "hunt_three_load_example.csv");

        Assert.Equal(12, table.Rows.Count);
        foreach (ReferenceTable.Row row in table.Rows)
        {
            TwoPort m = FromCoilToTube(2 * Math.PI * row.Number("f_Hz"));

            Agreement.Relative(row.Complex("Ze"), m.A / m.C, 1e-9, $"Z_e at {row.Text("f_Hz")} Hz");
            Agreement.Relative(row.Complex("Za"), m.D / m.C, 1e-9, $"Z_a at {row.Text("f_Hz")} Hz");
            Agreement.Relative(row.Complex("Ta"), 1 / m.C, 1e-9, $"T_a at {row.Text("f_Hz")} Hz");
        }
    }

    private static TwoPort FromCoilToTube(double omega)
    {
        var inductance = new Complex(0, omega * 1.5e-3);
        return TwoPort.Series(inductance * 300 / (inductance + 300)) * Chain.Motors(omega, Air) * Chain.Outlet(omega, Air, Lumped);
    }

    /// <summary>The spout is a mass, the tube one T.</summary>
    private static TwoPort Lumped(double omega, double length, double bore, Air air)
    {
        TwoPort half = TwoPort.Series(new Complex(0, omega * 6791 / 2));
        return bore == SpoutBore
            ? TwoPort.Series(new Complex(0, omega * 3056))
            : half * TwoPort.Shunt(new Complex(0, omega * 1.26e-13)) * half;
    }
}
