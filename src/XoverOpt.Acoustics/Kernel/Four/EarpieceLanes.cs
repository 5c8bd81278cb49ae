using Lanes = System.Runtime.Intrinsics.Vector256<double>;
using Wide = System.Runtime.Intrinsics.Vector256;

namespace XoverOpt.Acoustics.Kernel.Four;

/// <summary>The loops of <see cref="EarpieceKernel"/>.</summary>
internal static class EarpieceLanes
{
    public static void Evaluate(
        ReadOnlySpan<KernelWay> ways,
        EarTable ear,
        Source source,
        KernelWorkspace workspace,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale)
    {
        int next = 0;
        for (int i = 0; i < ways.Length; i++)
        {
            int first = next;
            while (next < parameters.Length && parameters[next].Way == i)
            {
                next++;
            }

            WayChain.Run(ways[i], workspace, i, parameters[first..next], first);
        }

        Join(ways.Length, ear, source, workspace, parameters.Length > 0);
        for (int q = 0; q < parameters.Length; q++)
        {
            ElementTangent.OfPressure(ways[parameters[q].Way], workspace, parameters[q], scale[q], q);
        }
    }

    /// <summary>The ways together, at the junction and at the socket.</summary>
    private static void Join(int ways, EarTable ear, Source source, KernelWorkspace workspace, bool tangents)
    {
        int n = workspace.Grid.Count;
        Lanes resistance = Wide.Create(source.Resistance), open = Wide.Create(source.Voltage);
        ComplexPlane pressure = new(workspace.PressureRe, workspace.PressureIm, 0, n);
        ComplexPlane pressurePerVolt = new(workspace.PressurePerVoltRe, workspace.PressurePerVoltIm, 0, n);
        ComplexPlane admittances = new(workspace.AdmittanceRe, workspace.AdmittanceIm, 0, n);
        ComplexPlane loadings = new(workspace.LoadingRe, workspace.LoadingIm, 0, n);
        ComplexPlane couplings = new(workspace.CouplingRe, workspace.CouplingIm, 0, n);
        for (int at = 0; at < n; at += Lanes.Count)
        {
            int k = Math.Min(at, n - Lanes.Count);
            ComplexLanes drive = ComplexLanes.Zero, electric = ComplexLanes.Zero, acoustic = ear.Planes.Lanes(0, k);
            for (int i = 0; i < ways; i++)
            {
                drive += workspace.Driven.Lanes(i, k);
                acoustic += workspace.Acoustic.Lanes(i, k);
                electric += workspace.Electric.Lanes(i, k);
            }

            ComplexLanes inverse = acoustic.Inverse(), perVolt = drive * inverse, coupling = drive * perVolt;
            ComplexLanes admittance = electric + coupling;
            ComplexLanes unloaded = ComplexLanes.One.Plus(admittance, resistance).Inverse();
            ComplexLanes drum = ear.Planes.Lanes(1, k), drumPerVolt = perVolt * drum;
            ComplexLanes voltage = unloaded * open, gain = voltage * inverse * drum;
            pressure.Set(k, voltage * drumPerVolt);
            pressurePerVolt.Set(k, drumPerVolt);
            admittances.Set(k, admittance);
            for (int i = 0; i < ways; i++)
            {
                new ComplexPlane(workspace.ShareRe, workspace.ShareIm, i, n).Set(k, workspace.Driven.Lanes(i, k) * gain);
            }

            if (tangents)
            {
                ComplexLanes inverseDrive = drive.Inverse();
                loadings.Set(k, unloaded * resistance);
                couplings.Set(k, coupling);
                for (int i = 0; i < ways; i++)
                {
                    workspace.Fraction.Set(i, k, workspace.Driven.Lanes(i, k) * inverseDrive);
                }
            }
        }
    }
}
