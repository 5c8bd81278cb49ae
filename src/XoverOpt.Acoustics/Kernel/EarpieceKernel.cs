using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// The response of a candidate at every grid frequency, and its exact derivatives. The equations are those of
/// <see cref="PlainResponse"/>; three sums over the ways carry everything:
/// <code>
/// S₁ = Σ s/B    T = Y_L + Σ A/B    S₄ = Σ D/B
/// p/V = S₁/(T·A_load)   share_i = V (s_i/B_i)/(T·A_load)   Y_in = S₄ + S₁²/T   V = V_s/(1 + R_s·Y_in)
/// </code>
/// (C − AD/B = 1/B, because every chain's determinant is −1.) Derivatives run forward: a parameter touches the chain of its own way
/// only, and each network section, damper and tube piece adds one tangent (∂A, ∂B, ∂C, ∂D) that is carried to the socket.
/// Vectorised across frequency; nothing is allocated.
/// </summary>
public static class EarpieceKernel
{
    private const int MaxSlots = KernelWorkspace.MaxParameters;

    /// <summary>Evaluates a candidate into <paramref name="workspace"/>.</summary>
    /// <param name="ways">The ways, at most <see cref="KernelWorkspace.MaxWays"/>.</param>
    /// <param name="ear">The ear.</param>
    /// <param name="source">What drives the socket.</param>
    /// <param name="workspace">Where results go.</param>
    /// <param name="parameters">Which values to differentiate by, grouped by way in rising order; empty for none.</param>
    /// <param name="scale">∂value/∂θ of each parameter: 1 for the value itself.</param>
    public static void Evaluate(
        ReadOnlySpan<KernelWay> ways,
        EarTable ear,
        Source source,
        KernelWorkspace workspace,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        int n = workspace.Grid.Count;
        Span<Chain> slots = stackalloc Chain[MaxSlots];
        Span<ComplexLanes> inverseB = stackalloc ComplexLanes[KernelWorkspace.MaxWays];
        Span<Chain> sums = stackalloc Chain[parameters.Length];
        var one = Vector256.Create(1.0);
        var sourceResistance = Vector256.Create(source.Resistance);

        for (int k = 0; k < n; k += FrequencyGrid.Lanes)
        {
            var omega = Vector256.Create(workspace.Grid.Omega.AsSpan(k, FrequencyGrid.Lanes));
            ComplexLanes drive = ComplexLanes.Zero, electric = ComplexLanes.Zero, acoustic = ear.Planes.Lanes(0, k);
            ComplexLanes perJunction = ear.Planes.Lanes(1, k);
            int next = 0;

            for (int i = 0; i < ways.Length; i++)
            {
                int first = next;
                while (next < parameters.Length && parameters[next].Way == i)
                {
                    next++;
                }

                KernelWay way = ways[i];
                ReadOnlySpan<KernelParameter> own = parameters[first..next];
                Chain chain = own.IsEmpty
                    ? ForwardOnly(way, omega, k)
                    : WithTangents(way, omega, k, own, slots);

                ComplexLanes invB = chain.B.Inverse();
                ComplexLanes a = chain.A * invB, d = chain.D * invB;
                ComplexLanes driven = invB * Vector256.Create(way.Sign);
                inverseB[i] = driven;
                drive += driven;
                acoustic += a;
                electric += d;

                for (int q = 0; q < own.Length; q++)
                {
                    Chain t = slots[q];
                    ComplexLanes b = t.B * invB;
                    // Changes of S₁, T and S₄; A keeps ∂T, C keeps −∂B/B, which is what the way's own share changes by.
                    sums[first + q] = new Chain((t.A * invB) - (a * b), -(driven * b), -b, (t.D * invB) - (d * b));
                }
            }

            ComplexLanes invT = acoustic.Inverse();
            ComplexLanes perVolt = drive * invT;
            ComplexLanes admittance = electric + (drive * perVolt);
            ComplexLanes loaded = (admittance * sourceResistance) + new ComplexLanes(one, Vector256<double>.Zero);
            ComplexLanes voltage = loaded.Inverse() * Vector256.Create(source.Voltage);
            ComplexLanes gain = voltage * invT * perJunction;
            ComplexLanes drumPerVolt = perVolt * perJunction;

            (voltage * drumPerVolt).Store(workspace.PressureRe, workspace.PressureIm, k);
            drumPerVolt.Store(workspace.PressurePerVoltRe, workspace.PressurePerVoltIm, k);
            admittance.Store(workspace.AdmittanceRe, workspace.AdmittanceIm, k);
            for (int i = 0; i < ways.Length; i++)
            {
                (inverseB[i] * gain).Store(workspace.ShareRe, workspace.ShareIm, (i * n) + k);
            }

            if (parameters.Length > 0)
            {
                StoreTangents(workspace, sums, scale, k, drive, perVolt, invT, admittance, loaded.Inverse() * sourceResistance);
            }
        }
    }

    private static void StoreTangents(
        KernelWorkspace workspace,
        ReadOnlySpan<Chain> sums,
        ReadOnlySpan<double> scale,
        int k,
        ComplexLanes drive,
        ComplexLanes perVolt,
        ComplexLanes invT,
        ComplexLanes admittance,
        ComplexLanes loading)
    {
        int n = workspace.Grid.Count;
        ComplexLanes invDrive = drive.Inverse(), invY = admittance.Inverse();
        ComplexLanes twicePerVolt = perVolt + perVolt, perVoltSquared = perVolt * perVolt;
        for (int q = 0; q < sums.Length; q++)
        {
            var by = Vector256.Create(scale[q]);
            Chain t = sums[q];
            ComplexLanes admittanceChange = (t.D + (twicePerVolt * t.B) - (perVoltSquared * t.A)) * by;
            ComplexLanes atSocket = -(t.A * invT) * by;
            ComplexLanes common = atSocket - (loading * admittanceChange);
            ComplexLanes driven = t.B * invDrive * by;
            int at = (q * n) + k;
            (common + driven).Store(workspace.PressureTangentRe, workspace.PressureTangentIm, at);
            common.Store(workspace.CommonTangentRe, workspace.CommonTangentIm, at);
            (t.C * by).Store(workspace.OwnTangentRe, workspace.OwnTangentIm, at);
            (atSocket.Re + driven.Re).CopyTo(workspace.SensitivityTangent.AsSpan(at, 4));
            (-(admittanceChange * invY).Re).CopyTo(workspace.ImpedanceTangent.AsSpan(at, 4));
        }
    }

    /// <summary>The way's chain from socket to junction.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Chain ForwardOnly(KernelWay way, Vector256<double> omega, int k)
    {
        Chain chain = Spout(way, k).ThenSeries(Vector256.Create(way.Damper));
        for (int j = 0; j < way.Bores.Length; j++)
        {
            chain = new Tube(way.Bores[j], way.Lengths[j], k).After(chain);
        }

        for (int j = way.Places.Length - 1; j >= 0; j--)
        {
            ComplexLanes impedance = Impedance(way, j, omega);
            chain = way.Places[j] == SectionPlace.Series ? chain.BehindSeries(impedance) : chain.BehindShunt(impedance.Inverse());
        }

        return chain;
    }

    /// <summary>The way's chain, and in <paramref name="tangents"/> its change with each of its parameters (per unit of the value).</summary>
    private static Chain WithTangents(
        KernelWay way, Vector256<double> omega, int k, ReadOnlySpan<KernelParameter> own, Span<Chain> tangents)
    {
        Chain chain = Spout(way, k);
        var damper = new Chain(ComplexLanes.Zero, chain.A, ComplexLanes.Zero, chain.C);
        chain = chain.ThenSeries(Vector256.Create(way.Damper));
        Carry carry = default;
        Open(own, tangents, ref carry, ParameterKind.Damper, 0, damper);

        for (int j = 0; j < way.Bores.Length; j++)
        {
            var tube = new Tube(way.Bores[j], way.Lengths[j], k);
            chain = tube.After(chain);
            for (int q = 0; q < own.Length; q++)
            {
                if (carry.Has(q))
                {
                    tangents[q] = tube.After(tangents[q]);
                }
            }

            // d/dl of a tube is the tube times [0 z; y 0].
            ComplexLanes z = way.Bores[j].Planes.Lanes(3, k), y = way.Bores[j].Planes.Lanes(4, k);
            Open(own, tangents, ref carry, ParameterKind.TubeLength, j, new Chain(chain.B * y, chain.A * z, chain.D * y, chain.C * z));
        }

        for (int j = way.Places.Length - 1; j >= 0; j--)
        {
            bool series = way.Places[j] == SectionPlace.Series;
            ComplexLanes impedance = Impedance(way, j, omega);
            ComplexLanes value = series ? impedance : impedance.Inverse();
            Chain unit = series
                ? new Chain(chain.C, chain.D, ComplexLanes.Zero, ComplexLanes.Zero)
                : new Chain(ComplexLanes.Zero, ComplexLanes.Zero, chain.A, chain.B) * -(value * value);
            chain = series ? chain.BehindSeries(value) : chain.BehindShunt(value);
            for (int q = 0; q < own.Length; q++)
            {
                if (carry.Has(q))
                {
                    tangents[q] = series ? tangents[q].BehindSeries(value) : tangents[q].BehindShunt(value);
                }
            }

            OpenSection(way, own, tangents, ref carry, j, omega, unit);
        }

        return chain;
    }

    private static void OpenSection(
        KernelWay way, ReadOnlySpan<KernelParameter> own, Span<Chain> tangents, ref Carry carry, int section, Vector256<double> omega, Chain unit)
    {
        for (int q = 0; q < own.Length; q++)
        {
            if (own[q].Index != section || own[q].Kind > ParameterKind.Coil)
            {
                continue;
            }

            double capacitance = way.Capacitances[section];
            tangents[q] = own[q].Kind switch
            {
                ParameterKind.Resistor => unit,
                ParameterKind.Capacitor => unit.TimesJ(Vector256.Create(1 / (capacitance * capacitance)) / omega),
                _ => unit.TimesJ(omega),
            };
            carry.Add(q);
        }
    }

    private static void Open(
        ReadOnlySpan<KernelParameter> own, Span<Chain> tangents, ref Carry carry, ParameterKind kind, int index, Chain tangent)
    {
        for (int q = 0; q < own.Length; q++)
        {
            if (own[q].Kind == kind && own[q].Index == index)
            {
                tangents[q] = tangent;
                carry.Add(q);
            }
        }
    }

    /// <summary>The joined spouts of the way's receivers.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Chain Spout(KernelWay way, int k)
    {
        Planes table = way.Receiver.Planes;
        var chain = new Chain(table.Lanes(0, k), table.Lanes(1, k), table.Lanes(2, k), table.Lanes(3, k));
        Vector256<double> count = Vector256.Create((double)way.Count), part = Vector256.Create(1.0 / way.Count);
        return way.Wiring == Wiring.Parallel
            ? new Chain(chain.A, chain.B * part, chain.C * count, chain.D)
            : new Chain(chain.A * count, chain.B, chain.C, chain.D * part);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ComplexLanes Impedance(KernelWay way, int section, Vector256<double> omega) => new(
        Vector256.Create(way.Resistances[section] + way.Losses[section]),
        (omega * Vector256.Create(way.Inductances[section])) - (Vector256.Create(1 / way.Capacitances[section]) / omega));

    /// <summary>Which tangents are under way, a bit each.</summary>
    private struct Carry
    {
        private uint _bits;

        public void Add(int slot) => _bits |= 1u << slot;

        public readonly bool Has(int slot) => (_bits & (1u << slot)) != 0;
    }
}
