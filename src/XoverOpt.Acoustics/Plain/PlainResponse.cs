using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// The response of one earpiece at one frequency, written as the equations read: the reference the vectorised evaluation is checked
/// against.
/// <code>
/// way i: [V; I] = M_i [p; U],  M_i = (A, B; C, D),  det M_i = −1,  s_i = ±1 its polarity
/// flows at the junction:   Σ U_i = Y_L p,  U_i = (s_i V − A_i p)/B_i
/// so                       p = V Σ(s_i/B_i) / (Y_L + Σ(A_i/B_i))
/// way i's share of p has its own s_i/B_i alone above the line
/// current at the socket:   I = Σ s_i I_i,  Y_in = Σ(D_i/B_i) + (p/V) Σ s_i (C_i − A_i D_i/B_i)
///                          where C − AD/B = −det M/B = 1/B
/// socket:                  V = V_s/(1 + R_s Y_in)
/// </code>
/// Inside a way, cut its chain in two, M = N K: the flow (or current) at the cut is (K_D s V − N_A det K p)/B. With it
/// <code>
/// at the diaphragms: K = outlet, det 1:            n U_d = (K_D s V − N_A p)/B
/// at the coils' leads: N = network, det K = −1:     i = (K_D s V + N_A p)/B, shared by n coils wired in parallel
/// </code>
/// Walking back from the junction instead would lose digits where a stiff diaphragm hardly moves.
/// <para>
/// Volts, amperes, pascal and m³/s are RMS.
/// </para>
/// </summary>
/// <param name="DrumPressure">Pressure at the eardrum microphone, Pa.</param>
/// <param name="JunctionPressure">Pressure p where the ways join, Pa.</param>
/// <param name="SocketVoltage">V, the voltage at the socket under load.</param>
/// <param name="SocketImpedance">1/Y_in, Ω.</param>
/// <param name="Shares">Each way's share of the eardrum pressure, Pa, in the order of the ways; they add up to it.</param>
/// <param name="DiaphragmFlow">Per way, the flow U_d at one receiver's diaphragm, m³/s, positive for leads as marked pushing out.</param>
/// <param name="ArmatureTravel">Per way, the travel of one receiver's armature from rest, m, peak: √2 |U_d|/(ω S_d).</param>
/// <param name="CoilCurrent">Per way, the current in one receiver's coil, A RMS.</param>
public sealed record PlainResponse(
    Complex DrumPressure,
    Complex JunctionPressure,
    Complex SocketVoltage,
    Complex SocketImpedance,
    IReadOnlyList<Complex> Shares,
    IReadOnlyList<Complex> DiaphragmFlow,
    IReadOnlyList<double> ArmatureTravel,
    IReadOnlyList<double> CoilCurrent)
{
    /// <summary>Computes the response.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="ear">What it speaks into, and the air throughout.</param>
    /// <param name="source">What drives it.</param>
    /// <param name="omega">ω, rad/s, not 0.</param>
    public static PlainResponse At(Earpiece earpiece, Ear ear, Source source, double omega) =>
        At(earpiece, ear, source, omega, SoundTube.Matrix);

    internal static PlainResponse At(Earpiece earpiece, Ear ear, Source source, double omega, TubeMatrix tube)
    {
        IReadOnlyList<Way> ways = earpiece.Ways;
        TwoPort[] chains = [.. ways.Select(way => way.Matrix(omega, ear.Air, tube))];
        TwoPort load = ear.Matrix(omega, tube);

        Complex drive = 0, acoustic = load.C / load.A, electric = 0;
        for (int i = 0; i < ways.Count; i++)
        {
            drive += ways[i].Sign / chains[i].B;
            acoustic += chains[i].A / chains[i].B;
            electric += chains[i].D / chains[i].B;
        }

        Complex pressurePerVolt = drive / acoustic;
        Complex admittance = electric + (pressurePerVolt * drive);
        Complex V = source.Voltage / (1 + (source.Resistance * admittance));
        Complex p = V * pressurePerVolt;

        var shares = new Complex[ways.Count];
        var flows = new Complex[ways.Count];
        double[] travels = new double[ways.Count], currents = new double[ways.Count];
        for (int i = 0; i < ways.Count; i++)
        {
            Way way = ways[i];
            shares[i] = V * way.Sign / chains[i].B / acoustic / load.A;

            TwoPort network = way.NetworkMatrix(omega), motors = way.Motors(omega, ear.Air), outlet = way.Outlet(omega, ear.Air, tube);
            Complex U_d = ((outlet.D * way.Sign * V) - ((network * motors).A * p)) / chains[i].B / way.Count;
            Complex current = (((motors * outlet).D * way.Sign * V) + (network.A * p)) / chains[i].B;

            flows[i] = U_d;
            travels[i] = Math.Sqrt(2) * Complex.Abs(U_d) / (omega * way.Receiver.DiaphragmArea);
            currents[i] = Complex.Abs(current) / (way.Wiring == Wiring.Parallel ? way.Count : 1);
        }

        return new PlainResponse(p / load.A, p, V, Complex.Reciprocal(admittance), shares, flows, travels, currents);
    }
}
