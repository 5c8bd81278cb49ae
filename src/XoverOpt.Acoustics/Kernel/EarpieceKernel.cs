namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// The response of a candidate at every grid frequency, and its exact derivatives. The equations are those of
/// <see cref="PlainResponse"/>; three sums over the ways carry everything:
/// <code>
/// S₁ = Σ s/B    T = Y_L + Σ A/B    S₄ = Σ D/B
/// p/V = S₁/(T·A_load)   share_i = V (s_i/B_i)/(T·A_load)   Y_in = S₄ + S₁²/T   V = V_s/(1 + R_s·Y_in)
/// </code>
/// (C − AD/B = 1/B, because every chain's determinant is −1.) Derivatives follow from reciprocity, see <see cref="ElementTangent"/>.
/// Vectorised across frequency, way by way; nothing is allocated.
/// </summary>
public static class EarpieceKernel
{
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

    /// <summary>
    /// Fills ∂Y_in/∂θ of the last evaluation, which must have had the same parameters, at least at grid points
    /// [<paramref name="from"/>, <paramref name="to"/>). Few candidates need it, and those at few points.
    /// </summary>
    public static void AdmittanceTangents(
        ReadOnlySpan<KernelWay> ways,
        KernelWorkspace workspace,
        ReadOnlySpan<KernelParameter> parameters,
        ReadOnlySpan<double> scale,
        int from,
        int to)
    {
        for (int q = 0; q < parameters.Length; q++)
        {
            ElementTangent.OfAdmittance(ways[parameters[q].Way], workspace, parameters[q], scale[q], q, from, to);
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
