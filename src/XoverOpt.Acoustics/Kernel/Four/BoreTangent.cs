using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>
/// Derivatives by the bore of the last tube piece. A change of bore is the tube times a small chain G d(bore) at its end, at the junction,
/// where the row of L is (A, B) and the column of R is (0, 1):
/// <code>
/// G = [h, p; q, −h]     ζ = ∂ln Z_c/∂bore     h = ζ sinh²Γl
/// p = Z_c (l ∂Γ/∂bore + ζ sinh Γl cosh Γl)     q = (l ∂Γ/∂bore − ζ sinh Γl cosh Γl)/Z_c
/// ∂(A/B) = q − p (A/B)² + 2h A/B     ∂ln(1/B) = h − p A/B     ∂(D/B) = p/B²
/// </code>
/// as follows from AD − BC = −1.
/// </summary>
internal static class BoreTangent
{
    public static void OfPressure(KernelWay way, KernelWorkspace workspace, KernelParameter parameter, double scale, int row)
    {
        int n = workspace.Grid.Count;
        ComplexPlane pressure = new(workspace.PressureTangentRe, workspace.PressureTangentIm, row, n);
        ComplexPlane common = new(workspace.CommonTangentRe, workspace.CommonTangentIm, row, n);
        ComplexPlane own = new(workspace.OwnTangentRe, workspace.OwnTangentIm, row, n);
        ComplexPlane loadings = new(workspace.LoadingRe, workspace.LoadingIm, 0, n);
        for (int at = 0; at < n; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            (ComplexLanes junction, ComplexLanes share, ComplexLanes admittance, ComplexLanes perT) = Change(way, workspace, parameter.Way, scale, k);
            ComplexLanes together = -((junction * perT) + (loadings[k] * admittance));
            common.Set(k, together);
            own.Set(k, share);
            pressure.Set(k, together.Plus(share, workspace.Fraction.Lanes(parameter.Way, k)));
        }
    }

    public static void OfAdmittance(KernelWay way, KernelWorkspace workspace, KernelParameter parameter, double scale, int row, int from, int to)
    {
        int n = workspace.Grid.Count;
        ComplexPlane admittances = new(workspace.AdmittanceTangentRe, workspace.AdmittanceTangentIm, row, n);
        for (int at = from; at < to; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            admittances.Set(k, Change(way, workspace, parameter.Way, scale, k).Admittance);
        }
    }

    /// <summary>∂T, ∂ln(s/B), ∂Y_in, and 1/T.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (ComplexLanes Junction, ComplexLanes Share, ComplexLanes Admittance, ComplexLanes PerT) Change(
        KernelWay way, KernelWorkspace workspace, int index, double scale, int k)
    {
        BoreTable bore = way.Bores[^1];
        double length = way.Lengths[^1];
        Lanes by = Wide.Create(scale);
        var tube = new Tube(bore.Planes, length, bore.LargestLoss * length < Tube.Faint, k);
        ComplexLanes stretch = way.Relaxed!.Slopes.Lanes(0, k) * Wide.Create(length), zeta = way.Relaxed.Slopes.Lanes(1, k);
        ComplexLanes mixed = zeta * (tube.Sinh * tube.Cosh), h = zeta * tube.Sinh.Squared();
        ComplexLanes p = bore.Planes.Lanes(1, k) * (stretch + mixed), q = bore.Planes.Lanes(2, k) * (stretch - mixed);

        // S₁ = driven/fraction, T = S₁²/coupling.
        ComplexLanes a = workspace.Acoustic.Lanes(index, k), driven = workspace.Driven.Lanes(index, k);
        ComplexLanes drive = driven * workspace.Fraction.Lanes(index, k).Inverse();
        ComplexLanes coupling = new ComplexPlane(workspace.CouplingRe, workspace.CouplingIm, 0, workspace.Grid.Count)[k];
        ComplexLanes perT = coupling * drive.Squared().Inverse(), perVolt = drive * perT;
        ComplexLanes junction = (q + (((h + h) - (p * a)) * a)) * by, share = (h - (p * a)) * by;
        ComplexLanes drivenChange = share * driven;
        ComplexLanes admittance = (p * driven.Squared() * by) + (perVolt * ((drivenChange + drivenChange) - (perVolt * junction)));
        return (junction, share, admittance, perT);
    }
}
