"""Textures of the boards and of the camera sheet, drawn with OpenCV's own marker pictures."""
import os

import cv2
import numpy as np

import settings as S

FAMILY = cv2.aruco.Dictionary_get(cv2.aruco.DICT_APRILTAG_36h11)
ROLES = {1: "WHEEL FRONT LEFT", 2: "WHEEL FRONT RIGHT", 3: "WHEEL REAR LEFT", 4: "WHEEL REAR RIGHT"}


def board_cells(board_id):
    """14 x 14 cells, 0 black and 255 white, row 0 on top, seen from the front."""
    cells = np.full((S.CELLS, S.CELLS), 255, np.uint8)
    for row in range(S.CELLS):
        for column in range(S.CELLS):
            in_ring = min(row, column) < 2 or max(row, column) > 11
            if in_ring and (row + column) % 2 == 0:
                cells[row, column] = 0
    cells[3:11, 3:11] = cv2.aruco.drawMarker(FAMILY, board_id, 8)
    return cells


def board_sheet(board_id):
    """The whole page; the board's centre is the centre of the picture."""
    width, height = S.SHEET_PX
    page = np.full((height, width), 255, np.uint8)
    pattern = np.kron(board_cells(board_id), np.ones((S.PX_PER_CELL, S.PX_PER_CELL), np.uint8))
    size = pattern.shape[0]
    top, left = (height - size) // 2, (width - size) // 2
    page[top : top + size, left : left + size] = pattern
    role = ROLES.get(board_id, "STAND" if board_id > 30 else "FLOOR")
    font = cv2.FONT_HERSHEY_SIMPLEX
    cv2.putText(page, f"{board_id}", (34, 74), font, 2.2, 0, 6, cv2.LINE_AA)
    cv2.putText(page, role, (150, 70), font, 0.9, 0, 2, cv2.LINE_AA)
    cv2.putText(page, "this way up", (380, 100), font, 0.5, 0, 1, cv2.LINE_AA)
    cv2.arrowedLine(page, (480, 84), (480, 22), 0, 3, cv2.LINE_AA, 0, 0.3)
    bar = round(200 / S.NOMINAL_CELL * S.PX_PER_CELL)
    start = (width - bar) // 2
    cv2.rectangle(page, (start, 660), (start + bar, 664), 0, -1)
    for end in (start, start + bar):
        cv2.line(page, (end, 646), (end, 678), 0, 1)
    cv2.putText(page, "200 mm when printed at 100 %", (130, 702), font, 0.55, 0, 1, cv2.LINE_AA)
    return page


def camera_sheet():
    """ChArUco page with a margin of 18 mm around the squares (also the page seen in the photos)."""
    q = S.SQUARE_PX
    grid = np.full((S.SHEET_ROWS * q, S.SHEET_COLUMNS * q), 255, np.uint8)
    marker_px = round(q * S.MARKER / S.SQUARE)
    offset = (q - marker_px) // 2
    marker_id = S.SHEET_FIRST_ID
    for row in range(S.SHEET_ROWS):
        for column in range(S.SHEET_COLUMNS):
            y, x = row * q, column * q
            if (row + column) % 2 == 0:
                grid[y : y + q, x : x + q] = 0
                continue
            tile = np.kron(cv2.aruco.drawMarker(FAMILY, marker_id, 8),
                           np.ones((marker_px // 8, marker_px // 8), np.uint8))
            grid[y + offset : y + offset + marker_px, x + offset : x + offset + marker_px] = tile
            marker_id += 1
    assert marker_id == 575 and marker_px % 8 == 0
    margin = round(q * 17 / S.SQUARE)
    return cv2.copyMakeBorder(grid, margin, margin, margin, margin, cv2.BORDER_CONSTANT, value=255)


def write_all(board_ids, folder):
    os.makedirs(folder, exist_ok=True)
    parameters = cv2.aruco.DetectorParameters_create()
    for board_id in board_ids:
        page = board_sheet(board_id)
        corners, found, _ = cv2.aruco.detectMarkers(page, FAMILY, parameters=parameters)
        assert found is not None and found.ravel().tolist() == [board_id], (board_id, found)
        first, second = corners[0][0][0], corners[0][0][1]
        assert first[0] < second[0] and abs(first[1] - second[1]) < 2, "board is not upright"
        cv2.imwrite(os.path.join(folder, f"board-{board_id}.png"), page)
    cv2.imwrite(os.path.join(folder, "camera-sheet.png"), camera_sheet())
