"""Small helpers for building meshes and materials in Blender (units: metres)."""
import bmesh
import bpy
import numpy as np

LIGHT = "baked light"


def material(name, colour, gloss=0.0, texture=None, closest=False, dark=0.0, scale=1.0, glow=0.0):
    """A matt surface. Two outputs are kept: 'bake' (diffuse, for the light) and 'show' (the baked
    light times the colour, plus a mirror share for paint and glass)."""
    mat = bpy.data.materials.new(name)
    mat.use_nodes = True
    nodes, links = mat.node_tree.nodes, mat.node_tree.links
    nodes.clear()
    if texture is None:
        base = nodes.new("ShaderNodeRGB")
        base.outputs[0].default_value = (*colour, 1)
        base = base.outputs[0]
    else:
        image = nodes.new("ShaderNodeTexImage")
        image.image = bpy.data.images.load(texture, check_existing=True)
        image.image.colorspace_settings.name = "Non-Color"
        image.interpolation = "Closest" if closest else "Linear"
        if scale != 1.0:
            uv, times = nodes.new("ShaderNodeTexCoord"), nodes.new("ShaderNodeVectorMath")
            times.operation = "SCALE"
            times.inputs["Scale"].default_value = scale
            links.new(uv.outputs["UV"], times.inputs[0])
            links.new(times.outputs[0], image.inputs[0])
        mix = nodes.new("ShaderNodeMixRGB")
        mix.inputs[1].default_value = (dark * colour[0], dark * colour[1], dark * colour[2], 1)
        mix.inputs[2].default_value = (*colour, 1)
        links.new(image.outputs[0], mix.inputs[0])
        base = mix.outputs[0]
    diffuse = nodes.new("ShaderNodeBsdfDiffuse")
    links.new(base, diffuse.inputs[0])
    bake = nodes.new("ShaderNodeOutputMaterial")
    bake.name = "bake"
    links.new(diffuse.outputs[0], bake.inputs[0])

    light = nodes.new("ShaderNodeVertexColor")
    light.layer_name = LIGHT
    product = nodes.new("ShaderNodeMixRGB")
    product.blend_type = "MULTIPLY"
    product.inputs[0].default_value = 1.0
    links.new(base, product.inputs[1])
    links.new(light.outputs[0], product.inputs[2])
    emission = nodes.new("ShaderNodeEmission")
    if glow:
        emission.inputs[0].default_value = (*colour, 1)
        emission.inputs[1].default_value = glow
    else:
        links.new(product.outputs[0], emission.inputs[0])
    surface = emission.outputs[0]
    if gloss:
        mirror, weight, blend = (nodes.new("ShaderNodeBsdfGlossy"), nodes.new("ShaderNodeFresnel"),
                                 nodes.new("ShaderNodeMixShader"))
        mirror.inputs["Roughness"].default_value = 0.0
        weight.inputs[0].default_value = 1.0 + gloss
        links.new(weight.outputs[0], blend.inputs[0])
        links.new(surface, blend.inputs[1])
        links.new(mirror.outputs[0], blend.inputs[2])
        surface = blend.outputs[0]
    show = nodes.new("ShaderNodeOutputMaterial")
    show.name = "show"
    links.new(surface, show.inputs[0])
    mat.cycles.sample_as_light = False
    bake.is_active_output = True
    return mat


def use_output(which):
    for mat in bpy.data.materials:
        if mat.use_nodes and which in mat.node_tree.nodes:
            for node in mat.node_tree.nodes:
                if node.type == "OUTPUT_MATERIAL":
                    node.is_active_output = node.name == which


def mesh_object(name, vertices, faces, materials, indices=None, uvs=None, smooth=False, outward=False):
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata([tuple(map(float, v)) for v in vertices], [], faces)
    for mat in materials:
        mesh.materials.append(mat)
    if indices is not None:
        mesh.polygons.foreach_set("material_index", indices)
    if uvs is not None:
        layer = mesh.uv_layers.new(name="uv")
        for loop in mesh.loops:
            layer.data[loop.index].uv = uvs[loop.vertex_index]
    mesh.polygons.foreach_set("use_smooth", [smooth] * len(mesh.polygons))
    mesh.update()
    if outward:
        shape = bmesh.new()
        shape.from_mesh(mesh)
        bmesh.ops.recalc_face_normals(shape, faces=shape.faces)
        shape.to_mesh(mesh)
        shape.free()
    obj = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(obj)
    return obj


def rectangle(name, corner, u, v, mat, step=0.15):
    """A flat grid from a corner along u and v; the face looks along u x v; uv runs 0..1."""
    corner, u, v = (np.asarray(a, float) for a in (corner, u, v))
    n = max(1, round(np.linalg.norm(u) / step))
    m = max(1, round(np.linalg.norm(v) / step))
    uv = [(i / n, j / m) for j in range(m + 1) for i in range(n + 1)]
    vertices = [corner + a * u + b * v for a, b in uv]
    faces = [(j * (n + 1) + i, j * (n + 1) + i + 1, (j + 1) * (n + 1) + i + 1, (j + 1) * (n + 1) + i)
             for j in range(m) for i in range(n)]
    return mesh_object(name, vertices, faces, [mat], uvs=uv)


def box(name, centre, size, mat, turn=None, step=0.12):
    """A box whose sides are grids fine enough to carry the baked light."""
    centre, half = np.asarray(centre, float), np.asarray(size, float) / 2
    turn = np.eye(3) if turn is None else np.asarray(turn)
    vertices, faces = [], []
    for axis in range(3):
        for sign in (1, -1):
            normal, u, v = np.zeros(3), np.zeros(3), np.zeros(3)
            normal[axis], u[(axis + 1) % 3], v[(axis + 2) % 3] = sign, 1, sign
            nu = max(1, min(24, round(2 * half[(axis + 1) % 3] / step)))
            nv = max(1, min(24, round(2 * half[(axis + 2) % 3] / step)))
            first = len(vertices)
            for j in range(nv + 1):
                for i in range(nu + 1):
                    p = (normal + u * (2 * i / nu - 1) + v * (2 * j / nv - 1)) * half
                    vertices.append(centre + turn @ p)
            for j in range(nv):
                for i in range(nu):
                    k = first + j * (nu + 1) + i
                    faces.append((k, k + 1, k + nu + 2, k + nu + 1))
    return mesh_object(name, vertices, faces, [mat])


def revolve(name, profile, origin, axis, mats, pick=None, n=48):
    """Turns a profile of (along axis, radius) about an axis; pick gives each strip's material."""
    axis = np.asarray(axis, float) / np.linalg.norm(axis)
    side = np.cross(axis, (0, 0, 1) if abs(axis[2]) < 0.9 else (1, 0, 0))
    side /= np.linalg.norm(side)
    up = np.cross(axis, side)
    vertices, faces, indices = [], [], []
    for along, radius in profile:
        for k in range(n):
            a = 2 * np.pi * k / n
            vertices.append(np.asarray(origin) + axis * along + radius * (np.cos(a) * side + np.sin(a) * up))
    for s in range(len(profile) - 1):
        for k in range(n):
            a, b = s * n + k, s * n + (k + 1) % n
            faces.append((a, b, b + n, a + n))
            indices.append(0 if pick is None else pick[s])
    return mesh_object(name, vertices, faces, mats, indices, outward=True)
