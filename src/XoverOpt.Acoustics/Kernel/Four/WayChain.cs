using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>
/// One way's chain matrix [A, B; C, D] from the socket to the junction, built up from the spout outwards, at every grid frequency. What
/// the rest needs of it is s/B, A/B and D/B.
/// <para>
/// For the derivatives, the chain is cut at each element that has a parameter: M = L·R with L in front of the element and R behind it
/// (a section in line or across does not change the entries used, so it may stand on either side). A row of L and a column of R are all
/// that <see cref="ElementTangent"/> asks for.
/// </para>
/// </summary>
internal static class WayChain
{
    [SkipLocalsInit]
    public static void Run(KernelWay way, KernelWorkspace workspace, int row, ReadOnlySpan<KernelParameter> own, int first)
    {
        int n = workspace.Grid.Count, pieces = way.Bores.Length;
        Span<Section> sections = stackalloc Section[way.Places.Length];
        Span<ComplexLanes> values = stackalloc ComplexLanes[sections.Length], behind = stackalloc ComplexLanes[sections.Length];
        Span<Tube> tubes = stackalloc Tube[pieces];
        for (int j = 0; j < sections.Length; j++)
        {
            sections[j] = new(way, j);
        }

        ref double omegas = ref MemoryMarshal.GetArrayDataReference(workspace.Grid.Omega);
        ref double inverseOmegas = ref MemoryMarshal.GetArrayDataReference(workspace.Grid.InverseOmega);
        Planes receiver = way.Receiver.Planes;
        Lanes damper = Wide.Create(way.Damper), sign = Wide.Create(way.Sign);
        bool isCut = !own.IsEmpty || workspace.MotorCuts is not null, parallel = way.Wiring == Wiring.Parallel;
        Lanes count = Wide.Create((double)way.Count), part = Wide.Create(1.0 / way.Count);
        for (int at = 0; at < n; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            Lanes omega = Wide.LoadUnsafe(ref omegas, (nuint)k), inverseOmega = Wide.LoadUnsafe(ref inverseOmegas, (nuint)k);

            // The joined spouts of the way's receivers.
            ComplexLanes a = receiver.Lanes(0, k), b = receiver.Lanes(1, k), c = receiver.Lanes(2, k), d = receiver.Lanes(3, k);
            if (parallel)
            {
                (b, c) = (b * part, c * count);
            }
            else
            {
                (a, d) = (a * count, d * part);
            }

            b = b.Plus(a, damper);
            d = d.Plus(c, damper);
            for (int j = 0; j < pieces; j++)
            {
                BoreTable bore = way.Bores[j];
                var tube = new Tube(bore.Planes, way.Lengths[j], bore.LargestLoss * way.Lengths[j] < Tube.Faint, k);
                (a, b) = ((a * tube.Cosh).Plus(b, tube.Shunt), (b * tube.Cosh).Plus(a, tube.Series));
                (c, d) = ((c * tube.Cosh).Plus(d, tube.Shunt), (d * tube.Cosh).Plus(c, tube.Series));
                if (isCut)
                {
                    tubes[j] = tube;
                }
            }

            ComplexLanes leads = d;
            for (int j = sections.Length - 1; j >= 0; j--)
            {
                ref readonly Section section = ref sections[j];
                if (section.InLine)
                {
                    behind[j] = d;
                    if (section.IsReal)
                    {
                        values[j] = new(section.Resistance, Lanes.Zero);
                        a = a.Plus(c, section.Resistance);
                        b = b.Plus(d, section.Resistance);
                    }
                    else
                    {
                        ComplexLanes z = section.Impedance(omega, inverseOmega);
                        values[j] = z;
                        a = a.Plus(c, z);
                        b = b.Plus(d, z);
                    }
                }
                else
                {
                    behind[j] = b;
                    ComplexLanes y = section.Impedance(omega, inverseOmega).Inverse();
                    values[j] = y;
                    c = c.Plus(a, y);
                    d = d.Plus(b, y);
                }
            }

            ComplexLanes inverse = b.Inverse();
            workspace.Driven.Set(row, k, inverse * sign);
            workspace.Acoustic.Set(row, k, a * inverse);
            workspace.Electric.Set(row, k, d * inverse);
            if (workspace.MotorCuts is { } cuts)
            {
                MotorLanes.Cut(way, cuts, row, k, sections, values, tubes, leads, inverse);
            }

            if (!own.IsEmpty)
            {
                Cut(way, workspace, own, first, k, sections, values, behind, tubes, a, b, inverse);
            }
        }
    }

    [SkipLocalsInit]
    private static void Cut(
        KernelWay way,
        KernelWorkspace workspace,
        ReadOnlySpan<KernelParameter> own,
        int first,
        int k,
        ReadOnlySpan<Section> sections,
        ReadOnlySpan<ComplexLanes> values,
        ReadOnlySpan<ComplexLanes> behind,
        ReadOnlySpan<Tube> tubes,
        ComplexLanes a,
        ComplexLanes b,
        ComplexLanes inverse)
    {
        Span<ComplexLanes> front = stackalloc ComplexLanes[sections.Length];
        ComplexLanes l0 = ComplexLanes.One, l1 = ComplexLanes.Zero;
        for (int j = 0; j < sections.Length; j++)
        {
            front[j] = sections[j].InLine ? l0 : l1;
            (l0, l1) = sections[j].InLine ? (l0, l1.Plus(l0, values[j])) : (l0.Plus(l1, values[j]), l1);
        }

        (l0, l1) = ThroughSpout(way, k, l0, l1);
        ComplexLanes damperFront = l0;
        l1 = l1.Plus(l0, Wide.Create(way.Damper));

        // Behind the damper stand the tubes, behind the last of them nothing.
        ComplexLanes r0 = ComplexLanes.Zero, r1 = ComplexLanes.One;
        Span<ComplexLanes> right0 = stackalloc ComplexLanes[tubes.Length], right1 = stackalloc ComplexLanes[tubes.Length];
        Span<ComplexLanes> left0 = stackalloc ComplexLanes[tubes.Length], left1 = stackalloc ComplexLanes[tubes.Length];
        for (int j = tubes.Length - 1; j >= 0; j--)
        {
            (right0[j], right1[j]) = (r0, r1);
            (r0, r1) = ((tubes[j].Cosh * r0).Plus(tubes[j].Series, r1), (tubes[j].Shunt * r0).Plus(tubes[j].Cosh, r1));
        }

        for (int j = 0; j < tubes.Length; j++)
        {
            (l0, l1) = j == tubes.Length - 1
                ? (a, b)
                : ((l0 * tubes[j].Cosh).Plus(l1, tubes[j].Shunt), (l1 * tubes[j].Cosh).Plus(l0, tubes[j].Series));
            (left0[j], left1[j]) = (l0, l1);
        }

        for (int p = 0; p < own.Length; p++)
        {
            int q = first + p, j = own[p].Kind == ParameterKind.Bore ? tubes.Length - 1 : own[p].Index;
            switch (own[p].Kind)
            {
                case ParameterKind.Damper:
                    workspace.Left.Set(q, k, damperFront);
                    workspace.Right.Set(q, k, r1 * inverse);
                    break;
                case ParameterKind.TubeLength or ParameterKind.Bore:
                    workspace.Left.Set(q, k, left0[j]);
                    workspace.Right.Set(q, k, right1[j] * inverse);
                    workspace.LeftAcross.Set(q, k, left1[j]);
                    workspace.RightAcross.Set(q, k, right0[j] * inverse);
                    break;
                default:
                    workspace.Left.Set(q, k, front[j]);
                    workspace.Right.Set(q, k, behind[j] * inverse);
                    break;
            }
        }
    }

    /// <summary>A row of the chain in front of the receivers, carried through them.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (ComplexLanes L0, ComplexLanes L1) ThroughSpout(KernelWay way, int k, ComplexLanes l0, ComplexLanes l1)
    {
        Planes receiver = way.Receiver.Planes;
        ComplexLanes m0 = (l0 * receiver.Lanes(0, k)), m1 = (l0 * receiver.Lanes(1, k));
        ComplexLanes n0 = (l1 * receiver.Lanes(2, k)), n1 = (l1 * receiver.Lanes(3, k));
        Lanes count = Wide.Create((double)way.Count), part = Wide.Create(1.0 / way.Count);
        return way.Wiring == Wiring.Parallel
            ? (m0.Plus(n0, count), n1.Plus(m1, part))
            : (n0.Plus(m0, count), m1.Plus(n1, part));
    }
}
